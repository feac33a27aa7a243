// The outbox: what was entered is kept on this device first and sent after.
//
// Entries lie in IndexedDB until the server has said that it stored them. Each carries an id of its own, so an
// entry that arrives twice is stored once. One page at a time sends; entries of a job go in their order.

import { belongs, begunBy, dropAll, follow, isBegin, named } from './begun.js';
import { arrived, leaving } from './tally.js';

const NAME = 'bench';
const ENTRIES = 'outbox';
const LEASES = 'leases';
const LEASE_MS = 30_000;
const PATIENT_MS = 20_000; // for a form
const UPLOAD_MS = 180_000; // for photos
const LONGEST_PAUSE_MS = 60_000;
const STEPS_ASIDE_AFTER = 5; // failed tries, after which an entry no longer holds up its job

const owner = fresh();
const channel = 'BroadcastChannel' in globalThis ? new BroadcastChannel('outbox') : null;
const listeners = new Set();
let database = null;
let pause = { until: 0, ms: 0 };
let csrf = document.querySelector('input[name=csrf]')?.value ?? '';

/** A new random id. Not randomUUID: that one is missing on plain http. */
export function fresh() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** Opens the outbox. Fails where the browser keeps nothing; forms are then sent as without script. */
export function open() {
  database ??= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore(ENTRIES, { keyPath: 'n', autoIncrement: true });
      request.result.createObjectStore(LEASES, { keyPath: 'name' });
    };
    request.onsuccess = () => {
      // Another version of this program in another tab must not be kept waiting.
      request.result.onversionchange = () => { request.result.close(); database = null; };
      // The browser has dropped it: what is kept from now on goes into a new one, and what waited is told of at once.
      request.result.onclose = () => { database = null; changed(true); };
      resolve(request.result);
    };
    request.onerror = () => reject(request.error);
    request.onblocked = () => reject(new Error('the outbox is held by another page'));
  });
  database.catch(() => { database = null; });
  return database;
}

/** Runs `act` on a store in one transaction; resolves when it is on disk. */
async function transact(store, mode, act, again = true) {
  const opened = await open();
  let transaction;
  try {
    transaction = opened.transaction(store, mode, { durability: 'strict' });
  } catch (error) {
    // Dropped by the browser, which does not always say so: opened anew, once.
    database = null;
    if (again) return transact(store, mode, act, false);
    throw error;
  }
  return new Promise((resolve, reject) => {
    const over = new AbortController();
    opened.addEventListener('close', () => reject(new DOMException('dropped by the browser', 'AbortError')), { signal: over.signal });
    const request = act(transaction.objectStore(store));
    transaction.oncomplete = () => { over.abort(); resolve(request?.result); };
    // A request that fails aborts it, and the transaction has the reason.
    transaction.onabort = () => { over.abort(); reject(transaction.error ?? new DOMException('broken off', 'AbortError')); };
  });
}

/** Everything that waits, oldest first. */
export const all = () => transact(ENTRIES, 'readonly', (store) => store.getAll());

/** One entry. */
export const get = (n) => transact(ENTRIES, 'readonly', (store) => store.get(n));

/**
 * Keeps an entry; `instead` names a held one that it corrects, whose place it takes: what belongs to a job that it begins
 * goes along. Resolves when it is safe.
 */
export async function keep(entry, instead) {
  const n = await transact(ENTRIES, 'readwrite', (store) => {
    const kept = { result: undefined };
    store.getAll().onsuccess = ({ target }) => {
      const waiting = target.result;
      const old = waiting.find((one) => one.n === instead);
      const after = old?.after ?? begunBy(entry, waiting);
      const fresh = { ...entry, after, state: 'waiting', tried: 0, errors: [] };
      if (old) {
        // Until its name is known, the job goes by the old one.
        if (isBegin(old)) fresh.job = old.job;
        store.put({ ...fresh, n: old.n });
        kept.result = old.n;
      } else {
        store.add(fresh).onsuccess = ({ target: added }) => { kept.result = added.result; };
      }
    };
    return kept;
  });
  if (n !== instead) arrived();
  navigator.storage?.persist?.().catch(() => {});
  changed();
  return n;
}

/** Makes room: photos kept for looking at can be had again, what waits cannot. Was anything freed? */
export async function makeRoom() {
  return Boolean(globalThis.caches && (await caches.delete('photos')));
}

/** Drops an entry that is not wanted any more, and what belongs to a job that it begins. */
export async function drop(n) {
  leaving((await ofBegun(n)).length || 1);
  await transact(ENTRIES, 'readwrite', (store) => {
    store.get(n).onsuccess = ({ target }) => { if (target.result && isBegin(target.result)) dropAll(store, target.result); };
    store.delete(n);
  });
  changed();
}

/** Drops an entry that the server has stored, under the name that its job has there. */
async function stored(entry, job) {
  leaving();
  await transact(ENTRIES, 'readwrite', (store) => {
    if (isBegin(entry)) follow(store, entry, job);
    store.delete(entry.n);
  });
  changed();
}

/** Gives a job that was begun here another name, with all that was entered for it. The numbers of the entries, in order. */
export async function rename(n, to) {
  await transact(ENTRIES, 'readwrite', (store) => {
    store.get(n).onsuccess = ({ target }) => {
      if (!target.result) return;
      store.put(named(target.result, to));
      follow(store, target.result, encodeURIComponent(to));
    };
  });
  changed();
  return ofBegun(n);
}

/** Numbers of an entry that begins a job and of all that belong to it, in order. */
export async function ofBegun(n) {
  const entries = await all();
  const begin = entries.find((entry) => entry.n === n);
  if (!begin) return [];
  return [n, ...(isBegin(begin) ? entries.filter((entry) => belongs(entry, begin)) : []).map((entry) => entry.n)];
}

/** Notes with an entry what the phone made of it: its job and its facts. */
export async function note(n, { job, facts }) {
  await transact(ENTRIES, 'readwrite', (store) => {
    store.get(n).onsuccess = ({ target }) => {
      const entry = target.result;
      if (!entry) return;
      if (isBegin(entry)) follow(store, entry, encodeURIComponent(job));
      store.put({ ...entry, job: encodeURIComponent(job), facts });
    };
  });
}

/** Holds an entry that the phone cannot take, until it is corrected. */
export async function hold(n, errors) {
  const entry = await get(n);
  if (entry) await update({ ...entry, state: 'held', errors });
}

async function update(entry) {
  // Not put back when it was dropped meanwhile.
  await transact(ENTRIES, 'readwrite', (store) => {
    store.get(entry.n).onsuccess = ({ target }) => { if (target.result) store.put(entry); };
  });
  changed();
}

/** Calls back whenever the outbox has changed, here or in another tab. */
export function watch(listener) {
  listeners.add(listener);
}

function changed(elsewhere = false) {
  for (const listener of listeners) listener();
  if (!elsewhere) channel?.postMessage('changed');
}
channel?.addEventListener('message', ({ data }) => {
  if (data === 'changed') changed(true);
  else answered(data.n, data.what, true); // another tab sent it
});

let running = null;
let again = false;
/** Sends what waits. `now` skips the pause after a failure. */
export function flush({ now = false } = {}) {
  if (!now && Date.now() < pause.until) return Promise.resolve();
  if (running) {
    again = true;
    return running;
  }
  const turns = async () => {
    do {
      again = false;
      await alone(sendAll);
    } while (again);
  };
  running = turns().finally(() => { running = null; });
  return running;
}

/**
 * Sends what waits and what is added meanwhile; stops at the first sign that there is no network. Photos go first:
 * they are large, and until they are sent they are nowhere else. Entries of a job go in their order, and wait for the
 * one that begins it.
 */
async function sendAll(holding) {
  const heldUp = new Set();
  const tried = new Set();
  for (;;) {
    const entries = await all();
    const begins = entries.filter(isBegin);
    const ready = entries.filter((entry) =>
      !tried.has(entry.n) && entry.state !== 'held' && !heldUp.has(entry.job) && !begins.some((begin) => belongs(entry, begin)));
    const entry = ready.find(withFiles) ?? ready[0];
    if (!entry || !(await holding())) return;
    tried.add(entry.n);
    const outcome = await send(entry);
    if (outcome === 'offline') return;
    if (outcome === 'failed' && entry.tried < STEPS_ASIDE_AFTER) heldUp.add(entry.job);
  }
}
const withFiles = (entry) => entry.fields.some(([, value]) => typeof value !== 'string');

const answers = new Map(); // entry number → who waits for the answer to what was just submitted
/** The answer to one entry, when it comes: where to go, what is wrong, or that the device must join again. */
export function answer(n) {
  return new Promise((resolve) => answers.set(n, resolve));
}
function answered(n, what, elsewhere = false) {
  answers.get(n)?.(what);
  answers.delete(n);
  if (!elsewhere) channel?.postMessage({ n, what });
}

async function send(entry, again = true) {
  let response;
  let body;
  try {
    response = await post(entry);
    body = response.headers.get('content-type')?.startsWith('application/json') ? await response.json() : null;
  } catch {
    return noNetwork();
  }
  if (response.ok && typeof body?.stored === 'number') {
    pause = { until: 0, ms: 0 };
    const job = isBegin(entry) ? (/^\/jobs\/([^/?#]+)/.exec(body.go)?.[1] ?? entry.job) : entry.job;
    await stored(entry, job);
    // Facts that the phone made under another name are not those that the bench has.
    navigator.serviceWorker?.controller?.postMessage({ changed: job, facts: job === entry.job ? entry.facts : undefined });
    answered(entry.n, { go: body.go });
    return 'sent';
  }
  // A page that is not ours answers for it: a portal of a guest network, say.
  if (response.ok || response.type === 'opaqueredirect') return noNetwork();
  entry.tried += 1;
  if (response.status === 403 && body?.csrf && again && (await newToken())) return send(entry, false);
  if (response.status === 401 || response.status === 403) {
    rest();
    entry.state = 'join';
    entry.errors = [];
    await update(entry);
    answered(entry.n, { join: true });
    return 'offline';
  }
  if (isFinal(response.status, body)) {
    entry.state = 'held';
    entry.errors = body?.errors ?? [{ field: '', message: `The server did not take it (${response.status}).` }];
    await update(entry);
    answered(entry.n, { errors: entry.errors });
    return 'held';
  }
  rest();
  entry.state = 'waiting';
  await update(entry);
  return 'failed';
}

/** Sends an entry that could not be kept. Nothing where nobody answers for it. */
export async function straight(entry, again = true) {
  try {
    const response = await post(entry);
    const body = response.headers.get('content-type')?.startsWith('application/json') ? await response.json() : null;
    if (response.ok && typeof body?.stored === 'number') return { go: body.go };
    if (response.status === 403 && body?.csrf && again && (await newToken())) return straight(entry, false);
    return isFinal(response.status, body) && body?.errors ? { errors: body.errors } : null;
  } catch {
    return null;
  }
}

/** Would the same thing be refused again, and by our own server? Too large is said before it is asked. */
const isFinal = (status, body) =>
  [413, 415].includes(status) || (body !== null && [400, 404, 405, 409, 410, 411, 414, 422].includes(status));

function noNetwork() {
  rest();
  return 'offline';
}

function rest() {
  const ms = Math.min(LONGEST_PAUSE_MS, pause.ms * 2 || 2_500);
  pause = { until: Date.now() + ms * (0.75 + Math.random() / 2), ms };
}

function post(entry) {
  const files = withFiles(entry);
  const body = files ? new FormData() : new URLSearchParams();
  for (const [name, value, file] of entry.fields) {
    if (name === 'csrf') continue;
    if (typeof value === 'string') body.append(name, value);
    else body.append(name, value, file);
  }
  // What was judged here is what is stored there.
  if (entry.facts && !files) body.append('facts', entry.facts.join('\n'));
  body.append('csrf', csrf);
  return fetch(entry.action, {
    method: 'POST',
    body,
    headers: { 'X-Bench': '1', 'X-Csrf': csrf },
    credentials: 'same-origin',
    redirect: 'manual',
    cache: 'no-store',
    signal: AbortSignal.timeout?.(files ? UPLOAD_MS : PATIENT_MS),
  });
}

async function newToken() {
  try {
    const response = await fetch('/token', { headers: { 'X-Bench': '1' }, cache: 'no-store' });
    csrf = (await response.json()).csrf;
    return Boolean(csrf);
  } catch {
    return false;
  }
}

/** Runs `act` if no other page does: by a lock of the browser, or on plain http by a lease that runs out. */
async function alone(act) {
  if (navigator.locks) {
    await navigator.locks.request('outbox', { ifAvailable: true }, (lock) => lock && act(async () => true));
    return;
  }
  const take = () => transact(LEASES, 'readwrite', (store) => {
    const got = { result: false };
    store.get('sender').onsuccess = ({ target }) => {
      const lease = target.result;
      got.result = !lease || lease.owner === owner || lease.until < Date.now();
      if (got.result) store.put({ name: 'sender', owner, until: Date.now() + LEASE_MS });
    };
    return got;
  });
  if (!(await take())) return;
  const renewal = setInterval(take, LEASE_MS / 3);
  try {
    await act(take);
  } finally {
    clearInterval(renewal);
    await transact(LEASES, 'readwrite', (store) => { store.delete('sender'); });
  }
}
