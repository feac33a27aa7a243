// The service worker: the pages of the open jobs without a network.
//
// Installing fetches nothing, so it cannot fail for want of a network; pages are gathered afterwards, one by one,
// when a page asks for it. Forms that are sent never pass through here: the outbox of the page sees to them. Where the
// program brought its module along, pages are made here from the facts that are kept; see stored.js and phone.js.

importScripts('/stored.js', '/phone.js');

const PAGES = 'pages';
const ASSETS = 'assets';
const PHOTOS = 'photos';
const PATIENT_MS = 3_000;
const IMPATIENT_MS = 800; // once there was no network, where this phone can make the page itself
const FRESH_MS = 10 * 60_000; // a kept page younger than this is not fetched again
const QUIET_MS = 20_000; // how long assets are not waited for after a page had to come from what is kept
const SETTLE_MS = 4_000; // facts that come together are followed by one gathering
const RETRY_MS = 2_000;
const MOST_PHOTOS = 300;

let noNetworkUntil = 0;
const changedAt = new Map(); // job → when it last changed; pages kept before are fetched again

addEventListener('install', (event) => event.waitUntil(skipWaiting()));
addEventListener('activate', (event) => event.waitUntil(clients.claim()));
addEventListener('message', (event) => {
  const { data, ports } = event;
  if (data === 'keep') event.waitUntil(Promise.all([gather(), exchange()]));
  else if (data?.changed) {
    noNetworkUntil = 0; // the bench has just said so
    event.waitUntil(Promise.all([gatherLater(data.changed), stored.sent(data.changed, data.facts).catch(() => {}).then(exchange)]));
  }
  else if (data?.read) event.waitUntil(phone.read(data.read).catch(() => null).then((answer) => ports[0]?.postMessage(answer)));
});

let exchanging = null;
let exchangeAgain = false;
/** Exchanges with the bench; a change meanwhile is followed by one more. */
function exchange() {
  exchangeAgain = exchanging !== null;
  // A store that the browser has just dropped may fail once.
  exchanging ??= stored.exchange().catch(() => after(RETRY_MS).then(stored.exchange)).catch(() => {}).finally(() => {
    exchanging = null;
    if (exchangeAgain) exchange();
  });
  return exchanging;
}

addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== location.origin) return;
  if (/^\/jobs\/[^/]+\/photos\/[^/]+\/(thumb|page)$/.test(url.pathname)) event.respondWith(photo(request));
  else if (/\.(css|js|svg|png|webmanifest)$/.test(url.pathname)) event.respondWith(asset(request));
  else if (/^\/jobs\/[^/]+\/(papers|install|permit|offer)\/[^/]+$/.test(url.pathname)) event.respondWith(paper(request));
  else if (isPage(request, url)) event.respondWith(page(event, request));
});

/** A page of ours: what a person looks at, or what a live page fetches for its parts. */
function isPage(request, url) {
  if (/\/(live|export|original)$|^\/(token|offline\.json|ca|health)\b/.test(url.pathname)) return false;
  return request.mode === 'navigate' || request.headers.has('X-Live');
}

/** Pages: from the network, or after three seconds from what is kept. */
async function page(event, request) {
  const network = fetch(request);
  event.waitUntil(network.then(keepPage.bind(null, request.url)).catch(() => {}));
  // Led elsewhere: to the page where one joins, perhaps. The list of pages tells whether this device was shut out.
  event.waitUntil(network.then((response) => response.type === 'opaqueredirect' && gather()).catch(() => {}));
  const here = () => phone.page(event, request).catch((error) => { console.error(error); return null; });
  // An old page would put back what was swapped in; one made here is as new as the one that is shown.
  if (request.headers.has('X-Live')) return network.catch(async () => (await here()) ?? Response.error());
  const job = jobOf(new URL(request.url).pathname);
  if (job) event.waitUntil(stored.opened(job).catch(() => {}));
  const [kept, mine] = await Promise.all([keptPage(request), stored.ready().catch(() => false)]);
  if (!kept && !mine) return network.catch(() => noPage());
  const patience = mine && Date.now() < noNetworkUntil ? IMPATIENT_MS : PATIENT_MS;
  const inTime = await Promise.race([network.catch(() => null), after(patience)]);
  if (inTime) return inTime;
  noNetworkUntil = Date.now() + QUIET_MS;
  return (await here()) ?? kept ?? network.catch(() => noPage());
}

/** Papers: those of the bench, or, printable as a page, those made here. */
async function paper(request) {
  try {
    return await fetch(request);
  } catch (error) {
    return (await phone.paper(request).catch(() => null)) ?? noPage();
  }
}

async function keepPage(address, response) {
  const isHtml = (response.headers.get('content-type') ?? '').startsWith('text/html');
  const mayKeep = !(response.headers.get('cache-control') ?? '').includes('no-store');
  if (response.ok && !response.redirected && response.type === 'basic' && isHtml && mayKeep) {
    const copy = response.clone();
    await (await caches.open(PAGES)).put(address, copy);
  } else if (response.status === 401) {
    await shutOut();
  }
}

/** What is kept of the jobs goes too. What was entered here stays in the outbox. */
const shutOut = () => Promise.all([caches.delete(PAGES), caches.delete(PHOTOS), stored.forget().catch(() => {})]);

async function keptPage(request) {
  const cache = await caches.open(PAGES);
  return (await cache.match(request, { ignoreVary: true })) ?? cache.match(request, { ignoreSearch: true, ignoreVary: true });
}

/** Assets: from the network, so that page and script are of one version; kept ones where a kept page is shown. */
async function asset(request) {
  const cache = await caches.open(ASSETS);
  const kept = await cache.match(request, { ignoreSearch: true, ignoreVary: true });
  if (kept && Date.now() < noNetworkUntil) return kept;
  const network = fetch(request).then((response) => {
    if (response.ok) cache.put(request, response.clone()).catch(() => {});
    return response;
  });
  return kept ? Promise.race([network, after(PATIENT_MS).then(() => kept)]).catch(() => kept) : network;
}

/** Photos: their address is their content, so a kept one is right for ever. */
async function photo(request) {
  const cache = await caches.open(PHOTOS);
  const kept = await cache.match(request, { ignoreVary: true });
  if (kept) return kept;
  const waiting = await phone.photo(new URL(request.url).pathname.split('/')[4]).catch(() => null);
  if (waiting) return waiting;
  const response = await fetch(request);
  if (response.ok) {
    cache.put(request, response.clone()).then(async () => {
      const keys = await cache.keys();
      for (const old of keys.slice(0, Math.max(0, keys.length - MOST_PHOTOS))) await cache.delete(old);
    }).catch(() => {});
  }
  return response;
}

let gathering = null;
/** Keeps assets and pages of the open jobs; what fails is left for the next time. */
function gather() {
  gathering ??= gatherOnce().catch(() => {}).finally(() => { gathering = null; });
  return gathering;
}

let laterGathering = null;
/** Gathers once the facts of a job have settled: forms list what was recorded before. */
function gatherLater(job) {
  changedAt.set(job, Date.now());
  laterGathering ??= after(SETTLE_MS).then(() => { laterGathering = null; return gather(); });
  return laterGathering;
}

async function gatherOnce() {
  const answer = await fetch('/offline.json', { cache: 'no-store' });
  if (answer.status === 401) await shutOut();
  if (!answer.ok) return;
  const list = await answer.json();
  const pages = await caches.open(PAGES);
  const assets = await caches.open(ASSETS);
  await Promise.all(list.assets.map((address) => assets.match(address).then((kept) => kept ?? keep(assets, address))));
  // A new version of the program has other pages; kept ones of the old version are all fetched again.
  const version = await assets.match('/kept-version').then((response) => response?.text());
  let kept = 0;
  for (const address of list.pages) {
    const old = await pages.match(address);
    const made = Date.parse(old?.headers.get('date') ?? '');
    // The header counts whole seconds: a page of the second of the change may be older than it.
    const isCurrent = Date.now() - made < FRESH_MS && (changedAt.get(jobOf(address)) ?? 0) < made;
    if ((old && version === list.version && isCurrent) || (await keep(pages, address))) kept += 1;
  }
  if (kept === list.pages.length) {
    await assets.put('/kept-version', new Response(list.version));
    const jobs = new Set(list.pages.map(jobOf));
    for (const request of await pages.keys()) {
      if (!jobs.has(jobOf(new URL(request.url).pathname))) await pages.delete(request);
    }
  }
  for (const client of await clients.matchAll({ includeUncontrolled: true })) client.postMessage({ kept, of: list.pages.length });
}

async function keep(cache, address) {
  try {
    const response = await fetch(address, { headers: { 'X-Keep': '1' }, cache: 'no-cache' });
    if (!response.ok || response.redirected) return false;
    await cache.put(address, response);
    return true;
  } catch {
    return false;
  }
}

const jobOf = (path) => /^\/jobs\/([^/]+)/.exec(path)?.[1] ?? '';

const after = (ms) => new Promise((resolve) => setTimeout(resolve, ms));

/** No network and nothing kept of this page. Made here, so that it is there whatever else is not. */
function noPage() {
  const html = `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
<title>No network</title><link rel="stylesheet" href="/look.css"><body><main id="main"><h1>No network</h1>
<p>This page is not kept on this device. What was entered is kept and is sent when there is a network.</p>
<p><a class="big" href="/">All jobs</a></p></main></body></html>`;
  return new Response(html, { status: 503, headers: { 'content-type': 'text/html; charset=utf-8' } });
}
