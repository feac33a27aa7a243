// What the phone keeps: facts of the jobs and what the bench told last, in IndexedDB, and the module; and how it is brought
// here and kept up. The service worker loads this file before phone.js.

const stored = (() => {
  const KEPT = 'phone'; // database: kept jobs, and what the bench told last
  const MODULES = 'module'; // cache
  const NEWEST = 5; // jobs that are kept though they were not opened here
  const ANSWERS_MS = 10_000; // within which the storage does
  const ASKED_MS = 30_000; // within which the bench does
  const AGAIN_MS = 86_400_000; // after which a module that this browser could not run is tried again
  const MODULE_MS = 300_000; // for the module, on a slow line

  /** A browser that drops its storage may leave what is under way in it without an answer, for ever. */
  const timely = (act) => new Promise((resolve, reject) => {
    const late = setTimeout(() => { bases.clear(); reject(new Error('the storage does not answer')); }, ANSWERS_MS);
    act.then(resolve, reject).finally(() => clearTimeout(late));
  });
  const cached = (name) => timely(caches.open(name));

  const bases = new Map();
  function base(name, stores) {
    if (!bases.has(name)) {
      const opened = new Promise((resolve, reject) => {
        const request = indexedDB.open(name, 1);
        request.onupgradeneeded = () => stores.forEach(([store, options]) => request.result.createObjectStore(store, options));
        request.onsuccess = () => {
          request.result.onversionchange = () => { request.result.close(); bases.delete(name); };
          request.result.onclose = () => { bases.delete(name); };
          resolve(request.result);
        };
        request.onerror = () => reject(request.error);
      });
      opened.catch(() => bases.delete(name));
      bases.set(name, opened);
    }
    return bases.get(name);
  }
  const own = () => base(KEPT, [['jobs', { keyPath: 'job' }], ['told', { keyPath: 'name' }]]);
  // As the outbox makes it, should no page have opened it yet.
  const outbox = () => base('bench', [['outbox', { keyPath: 'n', autoIncrement: true }], ['leases', { keyPath: 'name' }]]);

  async function transact(opening, store, mode, act, again = true) {
    const opened = await timely(opening());
    let transaction;
    try {
      transaction = opened.transaction(store, mode);
    } catch (error) {
      // Dropped by the browser, which does not always say so: opened anew, once.
      bases.clear();
      if (again) return transact(opening, store, mode, act, false);
      throw error;
    }
    return timely(new Promise((resolve, reject) => {
      const request = act(transaction.objectStore(store));
      transaction.oncomplete = () => resolve(request?.result);
      transaction.onabort = () => reject(transaction.error ?? new Error('broken off'));
    }));
  }
  const get = (store, key) => transact(own, store, 'readonly', (held) => held.get(key));
  const put = (store, value) => transact(own, store, 'readwrite', (held) => { held.put(value); });

  const gets = (address) => fetch(address, { headers: { 'X-Keep': '1' }, cache: 'no-store', signal: AbortSignal.timeout?.(ASKED_MS) });

  /** Gets what is new at the bench: the module first, so that nothing half-done is used; then settings, then facts. */
  async function exchange() {
    const answer = await gets('/phone.json');
    if (answer.status === 401) return forget();
    if (!answer.ok) return undefined;
    const told = await answer.json();
    if (told.module && !(await fetchModule(told.module))) {
      if ((await get('told', 'desk'))?.module) throw new Error('this browser cannot run the new module: the one before stays');
      told.module = null;
    }
    const off = Date.parse(`${told.now}Z`) - Date.parse(`${localTime()}Z`);
    await put('told', { ...told, name: 'desk', off });
    tell({ clock: Math.round(-off / 60_000) });
    if (!told.module) { tell({ phone: 'none' }); return undefined; }
    const opened = new Set((await get('told', 'opened'))?.jobs);
    const wanted = told.jobs.filter(({ job }, idx) => idx < NEWEST || opened.has(job));
    let kept = 0;
    for (const listed of wanted) kept += await bring(listed);
    tell({ phone: kept === wanted.length ? 'ready' : 'partly' });
    return undefined;
  }

  let last = Promise.resolve();
  /** One change of what is kept after the other: two at once would each put back what the other had read. */
  function inTurn(act) {
    const mine = last.then(act);
    last = mine.catch(() => {});
    return mine;
  }

  /** Brings the facts of a job that are not here yet. */
  const bring = (listed) => inTurn(() => bringNow(listed));
  async function bringNow({ job, revision, changed }) {
    const kept = await get('jobs', job);
    if (kept?.revision === revision && kept.changed === changed) return 1;
    // Equal or smaller: the bench was laid out from a backup, perhaps.
    const after = kept && kept.revision < revision ? kept.revision : 0;
    const answer = await gets(`/jobs/${encodeURIComponent(job)}/facts.json?after=${after}`);
    if (!answer.ok) return 0;
    const more = await answer.json();
    await putJob({ job, changed, revision: more.revision, facts: [...(after ? kept.facts : []), ...more.facts] });
    return 1;
  }

  /** Keeps a job. Where there is no room, it is rather not kept here than judged from facts that are not all. */
  async function putJob(job) {
    try {
      await put('jobs', job);
    } catch (error) {
      await transact(own, 'jobs', 'readwrite', (held) => { held.delete(job.job); });
      throw error;
    }
  }

  /**
   * A module is used from the moment when it lies here whole and can be run; until then the one before stays. Is it here?
   * One that is whole and that this browser cannot run is not fetched again for a day.
   */
  async function fetchModule(address) {
    const cache = await cached(MODULES);
    if (await timely(cache.match(address))) return true;
    const cannot = await get('told', 'cannot');
    if (cannot?.module === address && Date.now() - cannot.at < AGAIN_MS) return false;
    const answer = await fetch(address, { signal: AbortSignal.timeout?.(MODULE_MS) });
    if (!answer.ok) throw new Error(`the module: ${answer.status}`);
    const bytes = await answer.arrayBuffer();
    try {
      await WebAssembly.compile(bytes);
    } catch (error) {
      if (!(await isWhole(bytes, address))) throw error;
      await put('told', { name: 'cannot', module: address, at: Date.now() });
      return false;
    }
    await timely(cache.put(address, new Response(bytes, { headers: { 'content-type': 'application/wasm' } })));
    for (const old of await timely(cache.keys())) {
      if (old.url !== new URL(address, location.href).href) await timely(cache.delete(old));
    }
    return true;
  }

  /** Is that the module of this address? The address ends with the beginning of its hash. */
  async function isWhole(bytes, address) {
    const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
    return address.endsWith(`?${Array.from(hash.slice(0, 8), (byte) => byte.toString(16).padStart(2, '0')).join('')}`);
  }

  /** Facts that the bench has taken from here are kept as its facts at once, not only after the next exchange. */
  const sent = (job, facts) => inTurn(() => sentNow(job, facts));
  async function sentNow(job, facts) {
    const name = decodeURIComponent(job);
    const kept = (await get('jobs', name)) ?? { job: name, facts: [], changed: localTime() };
    // Without a revision all are fetched again.
    if (facts?.length) await putJob({ ...kept, revision: 0, facts: [...new Set([...kept.facts, ...facts])] });
  }

  const opened = (job) => inTurn(() => openedNow(job));
  async function openedNow(job) {
    const jobs = new Set((await get('told', 'opened'))?.jobs);
    const name = decodeURIComponent(job);
    if (!jobs.has(name)) await put('told', { name: 'opened', jobs: [...jobs, name].slice(-20) });
  }

  /** This device was shut out: what is kept of the jobs goes. What waits in the outbox stays. */
  async function forget() {
    for (const store of ['jobs', 'told']) await transact(own, store, 'readwrite', (held) => { held.clear(); });
  }

  const ready = async () => Boolean((await get('told', 'desk'))?.module);

  /** The module of this address, where it is kept whole. */
  const module = async (address) => timely((await cached(MODULES)).match(address));

  /** What waits in the outbox: all of it, or one entry. */
  const waits = () => transact(outbox, 'outbox', 'readonly', (held) => held.getAll());
  const waiting = (n) => transact(outbox, 'outbox', 'readonly', (held) => held.get(n));

  const told = () => get('told', 'desk');
  const job = (name) => get('jobs', name);
  const jobs = () => transact(own, 'jobs', 'readonly', (held) => held.getAll());

  async function tell(what) {
    for (const client of await clients.matchAll({ includeUncontrolled: true })) client.postMessage(what);
  }

  /** Civil time by the clock of this phone, put right by what it was off at the last contact. */
  function localTime(off = 0) {
    const now = new Date(Date.now() + off);
    return new Date(now - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 19);
  }

  return { exchange, sent, opened, forget, ready, module, waits, waiting, told, job, jobs, tell, localTime };
})();
