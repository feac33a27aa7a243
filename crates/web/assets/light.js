// The light: day, dark, glare, or as the phone is set. Changed at once, remembered in a cookie for the server.

const LIGHTS = ['auto', 'day', 'dark', 'glare'];
const YEAR_S = 31_536_000;

/** Takes over the light switch and puts right a page from the store. */
export function switchLight() {
  const chosen = /(?:^|; )light=(\w+)/.exec(document.cookie)?.[1];
  if (LIGHTS.includes(chosen)) document.documentElement.dataset.light = chosen;
  document.addEventListener('submit', (event) => {
    if (new URL(event.target.action, location.href).pathname !== '/light') return;
    const light = new FormData(event.target, event.submitter).get('light');
    if (!LIGHTS.includes(light)) return;
    event.preventDefault();
    document.cookie = `light=${light}; path=/; max-age=${YEAR_S}; samesite=lax`;
    document.documentElement.dataset.light = light;
    mark(light);
  });
  mark(document.documentElement.dataset.light);
}

function mark(light) {
  for (const choice of document.querySelectorAll('form[action="/light"] [name=light]')) {
    if (choice.tagName === 'BUTTON') choice.setAttribute('aria-pressed', String(choice.value === light));
    else if (choice.type === 'radio') choice.checked = choice.value === light;
  }
}
