// Place by address: a form asked for with `?place=main/15&state=breakfast` shows these choices made.
//
// The server does it too; here it is done for pages that the service worker took from its store, where the
// address had no query.

const NEVER = ['csrf', 'entry'];

/** Makes the choices that the address names, where the page has not made them. */
export function choose(form = document, query = location.search) {
  if (document.querySelector('.error, .error-list')) return; // shown again with what was typed
  for (const [name, value] of new URLSearchParams(query)) {
    if (NEVER.includes(name)) continue;
    for (const field of form.querySelectorAll(`form[data-queue] [name="${CSS.escape(name)}"]`)) {
      if (field.type === 'radio' || field.type === 'checkbox') {
        if (field.value === value && !field.checked) { field.checked = true; tell(field); }
      } else if (field.tagName === 'SELECT') {
        const has = [...field.options].some((option) => option.value === value);
        if (has && field.value !== value) { field.value = value; tell(field); }
      } else if (field.type !== 'file' && field.tagName !== 'BUTTON' && !field.value) {
        field.value = value;
        tell(field);
      }
    }
  }
}

const tell = (field) => field.dispatchEvent(new Event('change', { bubbles: true }));
