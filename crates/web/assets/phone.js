// The bench in the phone: facts of the jobs in IndexedDB, and the module that makes the same pages and the same
// judgement from them as the program does. The service worker loads this file; without the module it does nothing.

const phone = (() => {
  const KEPT = 'phone'; // database: kept jobs, and what the bench told last
  const MODULES = 'module'; // cache
  const NEWEST = 5; // jobs that are kept though they were not opened here
  // Pages that show no judgement.
  const SHOWS_NONE = /^\/jobs\/[^/]+\/(enter|fill|panel|call|log|photos|code|load|sizes|asks|editions|meter)\b/;
  const ANSWERS_MS = 10_000; // within which the storage does
  const ASKED_MS = 30_000; // within which the bench does
  const AGAIN_MS = 86_400_000; // after which a module that this browser could not run is tried again
  const MODULE_MS = 300_000; // for the module, on a slow line
  const FIRST_MS = 300; // what a page loads comes before the judgement
  const LENDS_MS = 3_000; // within which a page says that it lends threads
  const SILENT_MS = 6_000; // after which a page that lent some is taken for gone
  // As the bench sends with its pages.
  const POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; font-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
  const SANDBOX = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox allow-modals; frame-ancestors 'none'";

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

  let running = null;
  let runningOf = '';
  function run(address) {
    if (!running || runningOf !== address) {
      runningOf = address;
      running = (async () => {
        const kept = await timely((await cached(MODULES)).match(address));
        if (!kept) throw new Error('the module is not kept');
        return (await WebAssembly.instantiateStreaming(kept, {})).instance.exports;
      })();
      running.catch(() => { running = null; });
    }
    return running;
  }

  /** Asks the module; `chains` are draws that were made elsewhere. */
  async function ask(module, question, chains = []) {
    const { memory, room, carried, answer, said } = await run(module);
    const bytes = new TextEncoder().encode(question);
    // Room first: the memory may grow and its buffer be another one.
    const fill = (at, what) => new Uint8Array(memory.buffer, at, what.byteLength).set(new Uint8Array(what));
    try {
      for (const chain of chains) fill(carried(chain.byteLength), chain);
      fill(room(bytes.length), bytes);
      const length = answer();
      return JSON.parse(new TextDecoder().decode(new Uint8Array(memory.buffer, said(), length)));
    } catch (error) {
      running = null; // after a fault it starts afresh
      throw error;
    }
  }

  /** Asks about an address; `upTo` leaves out the forms after one. Nothing where there is no module. */
  async function about(what, url, upTo = Infinity) {
    const asked = await asks(url, upTo);
    return asked && ask(asked.module, asked.question(what));
  }

  /** All that a question about an address says, but for what is asked. */
  async function asks(url, upTo = Infinity) {
    const desk = await get('told', 'desk');
    if (!desk?.module) return null;
    const name = jobOf(url.pathname);
    const kept = name ? [await get('jobs', decodeURIComponent(name))] : await transact(own, 'jobs', 'readonly', (held) => held.getAll());
    const jobs = kept.filter(Boolean).map(({ job, facts, changed }) => ({ job, facts, changed }));
    const all = await waits();
    // What belongs to a job whose name is taken at the bench is not of the job that has the name.
    const held = new Set(all.filter((entry) => entry.state === 'held' && entry.n !== upTo).map(({ n }) => n));
    const waiting = all.filter((entry) => entry.n <= upTo && !held.has(entry.n) && !held.has(entry.after))
      .filter((entry) => entry.fields.every(([, value, , hash]) => typeof value === 'string' || hash));
    const queue = waiting.map(({ n, job, facts, action, fields }) => ({ n, job: decodeURIComponent(job ?? ''), facts, action, fields: fields.map(asText) }));
    const entry = Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, '0')).join('');
    const query = [...url.searchParams];
    const told = {
      path: url.pathname, query, entry, jobs, queue, desk: desk.desk,
      now: localTime(desk.off), clock_min: Math.round(-desk.off / 60_000),
    };
    return { module: desk.module, chains: desk.desk.chains, question: (what) => JSON.stringify({ ...told, what }) };
  }

  const waits = () => transact(outbox, 'outbox', 'readonly', (held) => held.getAll());
  // The bench names a photo by its hash.
  const asText = ([name, value, , hash]) => (typeof value === 'string' ? [name, value] : ['sha256', hash]);

  /** A photo that waits to be sent, by its hash. */
  async function photo(hash) {
    for (const { fields } of await waits()) {
      const found = fields.find(([, value, , own]) => typeof value !== 'string' && own === hash);
      if (found && /^image\/(jpeg|png)$/.test(found[1].type)) {
        return new Response(found[1], { headers: { 'content-type': found[1].type, 'content-security-policy': SANDBOX, 'x-phone': '1' } });
      }
    }
    return null;
  }

  /** The page of a request, made here; nothing where this phone cannot make it. */
  async function page(event, request) {
    const url = new URL(request.url);
    const answer = await about('page', url);
    if (answer?.status !== 200) return null;
    const job = jobOf(url.pathname);
    turn += 1;
    if (job && !answer.judged && !SHOWS_NONE.test(url.pathname)) {
      event.waitUntil(judge(url, job, turn, event.resultingClientId || event.clientId).catch(() => {}));
    }
    return given(answer, POLICY);
  }

  let turn = 0;
  let judging = null; // the job that threads of a page are at, and when they are done
  /** Judges once the phone rests on a page: while somebody goes on entering, the forms come first. */
  async function judge(url, job, mine, page) {
    await new Promise((resolve) => setTimeout(resolve, FIRST_MS));
    if (mine !== turn) return;
    const begun = performance.now();
    const asked = await asks(new URL(`/jobs/${job}`, url));
    if (!asked) return;
    const lent = byPage(asked, mine, await clients.get(page));
    judging = { job, done: lent.catch(() => null) };
    let answer = await judging.done;
    const byThreads = Boolean(answer?.judged);
    if (!byThreads) {
      // The page is another one by now, or gone: nobody waits for it.
      if (mine !== turn || (page && !(await clients.get(page)))) return;
      answer = await ask(asked.module, asked.question('judge'));
    }
    tell({ judged: job, revision: answer?.revision, ms: Math.round(performance.now() - begun), lent: byThreads });
  }

  /** Has the page that waits for a judgement run its chains, and concludes from them; nothing where it does not. */
  async function byPage({ module, chains, question }, mine, page) {
    if (!page || chains < 1) return null;
    const { port1: port, port2 } = new MessageChannel();
    const draws = [];
    const whole = await new Promise((resolve) => {
      let late;
      const within = (ms) => { clearTimeout(late); late = setTimeout(resolve, ms, false); };
      port.onmessage = ({ data }) => {
        within(SILENT_MS);
        if (data.draws) draws[data.chain] = data.draws;
        if (data.failed || mine !== turn) resolve(false);
        else if (Object.keys(draws).length === chains) resolve(true);
      };
      within(LENDS_MS);
      page.postMessage({ lend: { module, chains, question: question('judge') } }, [port2]);
      // Meanwhile what the conclusion needs is made here. Where a job cannot be judged, or was, that is known at once.
      ask(module, question('begin')).then((begun) => { if (begun.judged) resolve(begun); }).catch(() => resolve(false));
    });
    port.postMessage('enough');
    port.close();
    return whole === true ? ask(module, question('conclude'), draws) : whole;
  }

  async function paper(request) {
    const url = new URL(request.url);
    if (judging?.job === jobOf(url.pathname)) await judging.done; // it is needed for most papers
    const answer = await about('paper', url);
    return answer?.status === 200 ? given(answer, SANDBOX) : null;
  }

  const given = (answer, policy) => new Response(answer.body, {
    headers: { 'content-type': answer.media_type, 'content-security-policy': policy, 'x-phone': '1', date: new Date().toUTCString() },
  });

  /** What a form that was just kept comes to. */
  async function read(n) {
    const entry = await transact(outbox, 'outbox', 'readonly', (held) => held.get(n));
    return entry ? about('read', new URL(entry.action, location.href), n) : null;
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

  async function tell(what) {
    for (const client of await clients.matchAll({ includeUncontrolled: true })) client.postMessage(what);
  }

  /** Civil time by the clock of this phone, put right by what it was off at the last contact. */
  function localTime(off = 0) {
    const now = new Date(Date.now() + off);
    return new Date(now - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 19);
  }

  return { exchange, page, paper, photo, read, sent, opened, forget, ready };
})();
