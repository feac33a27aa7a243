// The start: wakes what the page has. Everything works without it; with it nothing entered is lost.

import { flush } from './outbox.js';
import { takeForms } from './forms.js';
import { say, showWaiting } from './waiting.js';
import { switchLight } from './light.js';
import { wakePads } from './pad.js';
import { choose } from './place.js';
import { placePins } from './pins.js';
import { fillSpaces } from './spaces.js';
import { dragCircuits } from './layout.js';
import { goLive } from './live.js';

const EVERY_MS = 5_000;

document.documentElement.dataset.script = 'on';
// One part that fails must not take the others with it.
for (const part of [switchLight, showWaiting, takeForms, choose, wakePads, placePins, fillSpaces, dragCircuits, goLive, keepSending, keepPages]) {
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
  navigator.serviceWorker.register('/sw.js', { scope: '/', updateViaCache: 'none' }).catch(() => {});
  // Nothing here waits until the worker controls the page: it is asked as soon as it is active.
  navigator.serviceWorker.ready.then((registration) => {
    const ask = () => { if (navigator.onLine) registration.active?.postMessage('keep'); };
    ask();
    addEventListener('online', ask);
  });
}
