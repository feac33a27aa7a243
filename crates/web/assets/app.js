// The start: wakes what the page has. Everything works without it; with it nothing entered is lost.

import { flush } from './outbox.js';
import { takeForms } from './forms.js';
import { say, showWaiting } from './waiting.js';
import { switchLight } from './light.js';
import { wakePads } from './pad.js';
import { choose } from './place.js';
import { keepDrafts } from './drafts.js';
import { placePins } from './pins.js';
import { fillSpaces } from './spaces.js';
import { dragCircuits } from './layout.js';
import { lendThreads } from './lend.js';
import { goLive } from './live.js';

const EVERY_MS = 5_000;
const LOOK_MS = 10_000;

document.documentElement.dataset.script = 'on';
// One part that fails must not take the others with it.
for (const part of [switchLight, showWaiting, takeForms, choose, keepDrafts, wakePads, placePins, fillSpaces, dragCircuits, lendThreads, goLive, keepSending, keepPages]) {
  try {
    part();
  } catch (error) {
    console.error(`${part.name}:`, error);
  }
}

/** Tries again on every sign that there may be a network. */
function keepSending() {
  const try_ = () => flush().catch(() => {});
  const tryNow = () => flush({ now: true }).catch(() => {});
  tryNow();
  addEventListener('online', tryNow);
  document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'visible') tryNow(); });
  setInterval(try_, EVERY_MS);
}

const inHours = (min) => {
  const size = Math.abs(min);
  const words = size < 120 ? `${size} minutes` : size < 2_880 ? `${Math.round(size / 60)} hours` : `${Math.round(size / 1_440)} days`;
  return `${words} ${min < 0 ? 'behind' : 'ahead of'}`;
};

/** Has the service worker keep the pages of the open jobs. Only where the address is secure. */
function keepPages() {
  if (!navigator.serviceWorker) return;
  const root = document.documentElement;
  navigator.serviceWorker.addEventListener('message', ({ data }) => {
    if (data?.phone) root.dataset.phone = data.phone;
    if (30 <= Math.abs(data?.clock ?? 0)) say(`This device’s clock is ${inHours(data.clock)} the bench’s. Times of entries are taken from it: set it right.`);
    if (data?.kept !== undefined) root.dataset.kept = data.of === undefined ? 'some' : data.kept === data.of ? 'all' : `${data.kept} of ${data.of}`;
  });
  const ask = async () => {
    if (!navigator.onLine) return;
    (await worker())?.postMessage('keep');
  };
  ask().catch(() => {});
  addEventListener('online', () => ask().catch(() => {}));
  document.addEventListener('visibilitychange', () => { if (document.visibilityState === 'visible') ask().catch(() => {}); });
  // A browser that drops what it keeps drops the worker with it, also under a page that stays open.
  setInterval(async () => {
    if (document.visibilityState === 'visible' && !(await navigator.serviceWorker.getRegistration('/'))) await ask();
  }, LOOK_MS);
}

/** The service worker, as soon as it is active; nothing here waits until it controls the page. */
async function worker() {
  const registration = await navigator.serviceWorker.register('/sw.js', { scope: '/', updateViaCache: 'none' })
    .catch(() => navigator.serviceWorker.getRegistration('/'));
  if (!registration || registration.active) return registration?.active;
  const coming = registration.installing ?? registration.waiting;
  return new Promise((resolve) => {
    const look = () => { if (registration.active) resolve(registration.active); };
    coming?.addEventListener('statechange', look);
    look();
  });
}
