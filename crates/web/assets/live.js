// Live pages: when facts arrive, from whichever device, the parts of this page that changed are swapped.
//
// The server only says "changed"; the page is fetched again and each element marked `data-live` is compared with
// what the server sent for it before. Where somebody is typing, nothing is touched.

const SETTLE_MS = 40; // changes that come together are fetched once
const LONGEST_MS = 30_000;

const sent = new Map(); // id → what the server sent for it last
let source = null;
let wait = 1_000;
let timer = 0;
let fetching = false;
let again = false;

/** Listens to the job of this page. */
export function goLive() {
  const job = /^\/jobs\/([^/]+)/.exec(location.pathname)?.[1];
  if (!job || !('EventSource' in globalThis)) return;
  for (const part of document.querySelectorAll('[data-live][id]')) sent.set(part.id, plain(part));
  if (sent.size === 0) return;
  const address = `/jobs/${job}/live`;
  // A tab in the background holds no connection; it catches up when it is looked at.
  const look = () => (document.visibilityState === 'visible' ? connect(address) : disconnect());
  document.addEventListener('visibilitychange', look);
  addEventListener('pagehide', disconnect);
  addEventListener('pageshow', (event) => { if (event.persisted) look(); });
  // Judged on this phone.
  navigator.serviceWorker?.addEventListener('message', ({ data }) => {
    if (data?.judged !== job) return;
    Object.assign(document.documentElement.dataset, data.first
      ? { firstMs: data.ms } : { judgedMs: data.ms, judgedBy: data.lent ? 'threads' : 'worker' });
    refresh();
  });
  addEventListener('online', () => { wait = 1_000; connect(address); });
  look();
}

function connect(address) {
  if (source && source.readyState !== EventSource.CLOSED) return;
  source = new EventSource(address);
  source.addEventListener('open', () => {
    wait = 1_000;
    document.documentElement.dataset.live = 'on';
  });
  // The first event tells where the job is now: nothing between this page and the connection is missed.
  source.addEventListener('change', ({ data }) => {
    // The bench is there again: what this page shows is no longer of this phone alone.
    const remark = document.getElementById('remark');
    if (isShown(JSON.parse(data)) && !remark) return;
    remark?.remove();
    refresh();
    navigator.serviceWorker?.controller?.postMessage({ changed: /^\/jobs\/([^/]+)/.exec(address)[1] });
  });
  source.addEventListener('error', () => {
    document.documentElement.dataset.live = 'off';
    if (source?.readyState !== EventSource.CLOSED) return; // the browser tries again by itself
    clearTimeout(timer);
    timer = setTimeout(() => { if (document.visibilityState === 'visible') connect(address); }, wait);
    wait = Math.min(LONGEST_MS, wait * 2);
  });
}

/** Does this page show that state already, a first look included? */
function isShown({ revision, judged, first }) {
  const shown = document.body.dataset;
  if (Number(shown.revision) !== revision) return false;
  return shown.judged === 'true' || (!judged && (!first || shown.judged === 'first'));
}

function disconnect() {
  clearTimeout(timer);
  source?.close();
  source = null;
}

/** Fetches the page again and swaps what differs; never two at once, and the last change is never missed. */
export async function refresh() {
  if (fetching) { again = true; return; }
  fetching = true;
  try {
    do {
      again = false;
      await new Promise((resolve) => setTimeout(resolve, SETTLE_MS));
      const response = await fetch(location.href.split('#')[0], { headers: { 'X-Live': '1' }, cache: 'no-store' });
      if (!response.ok || response.redirected) return;
      swap(new DOMParser().parseFromString(await response.text(), 'text/html'));
    } while (again);
  } catch {
    // No network: the next change or the next connection brings it.
  } finally {
    fetching = false;
  }
}

function swap(page) {
  for (const fresh of page.querySelectorAll('[data-live][id]')) {
    const text = plain(fresh);
    const old = document.getElementById(fresh.id);
    if (!old || sent.get(fresh.id) === text || isTyped(old)) continue;
    sent.set(fresh.id, text);
    const focus = place(old);
    const open = new Set([...old.querySelectorAll('details[open]')].map((details) => key(details, old)));
    for (const details of fresh.querySelectorAll('details')) if (open.has(key(details, fresh))) details.open = true;
    old.replaceWith(document.adoptNode(fresh));
    if (focus) find(fresh, focus)?.focus({ preventScroll: true });
    fresh.dispatchEvent(new CustomEvent('swapped', { bubbles: true }));
  }
  Object.assign(document.body.dataset, page.body.dataset);
}

/** The HTML without what is fresh on every page. */
function plain(part) {
  const copy = part.cloneNode(true);
  for (const field of copy.querySelectorAll('input[name=entry], input[name=csrf], input[name=at][type=hidden]')) field.remove();
  return copy.outerHTML;
}

/** Is somebody typing or choosing in it? */
function isTyped(part) {
  const active = document.activeElement;
  if (!active || !part.contains(active)) return false;
  return active.matches('input, textarea, select, [contenteditable]');
}

/** A name for a `details` that survives the swap. */
const key = (details, part) => details.id || `${details.querySelector('summary')?.textContent}${[...part.querySelectorAll('details')].indexOf(details)}`;

/** Where the focus is inside a part: an id, an address, or the place among its controls. */
function place(part) {
  const active = document.activeElement;
  if (!active || active === document.body || !part.contains(active)) return null;
  return { id: active.id, href: active.getAttribute('href'), idx: controls(part).indexOf(active) };
}
const controls = (part) => [part, ...part.querySelectorAll('a[href], button, summary, [tabindex]')];
function find(part, { id, href, idx }) {
  if (id && document.getElementById(id)) return document.getElementById(id);
  return controls(part).find((control) => href && control.getAttribute('href') === href) ?? controls(part)[idx];
}
