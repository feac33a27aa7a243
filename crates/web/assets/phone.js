// The bench in the phone: the module, which makes the same pages and the same judgement from what is kept (stored.js) as the
// program does. The service worker loads this file; without the module it does nothing.

const phone = (() => {
  // Pages that show no judgement.
  const SHOWS_NONE = /^\/jobs\/[^/]+\/(enter|fill|panel|call|log|photos|code|load|sizes|asks|editions|meter)\b/;
  const REST_MS = 300; // what a page loads comes before the judgement
  const LOOK_MS = 500; // within which a page that waits fetches the first look
  const LENDS_MS = 3_000; // within which a page says that it lends threads
  const SILENT_MS = 6_000; // after which a page that lent some is taken for gone
  // As the bench sends with its pages.
  const POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; font-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";
  const SANDBOX = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; sandbox allow-modals; frame-ancestors 'none'";

  let running = null;
  let runningOf = '';
  function run(address) {
    if (!running || runningOf !== address) {
      runningOf = address;
      running = (async () => {
        const kept = await stored.module(address);
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
    const desk = await stored.told();
    if (!desk?.module) return null;
    const name = jobOf(url.pathname);
    const [kept, all] = await Promise.all([name ? stored.job(decodeURIComponent(name)).then((job) => [job]) : stored.jobs(), stored.waits()]);
    const jobs = kept.filter(Boolean).map(({ job, facts, changed }) => ({ job, facts, changed }));
    // What belongs to a job whose name is taken at the bench is not of the job that has the name.
    const held = new Set(all.filter((entry) => entry.state === 'held' && entry.n !== upTo).map(({ n }) => n));
    const waiting = all.filter((entry) => entry.n <= upTo && !held.has(entry.n) && !held.has(entry.after))
      .filter((entry) => entry.fields.every(([, value, , hash]) => typeof value === 'string' || hash));
    const queue = waiting.map(({ n, job, facts, action, fields }) => ({ n, job: decodeURIComponent(job ?? ''), facts, action, fields: fields.map(asText) }));
    const entry = Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, '0')).join('');
    const query = [...url.searchParams];
    const told = {
      path: url.pathname, query, entry, jobs, queue, desk: desk.desk,
      now: stored.localTime(desk.off), clock_min: Math.round(-desk.off / 60_000),
    };
    return { module: desk.module, chains: desk.desk.chains, question: (what) => JSON.stringify({ ...told, what }) };
  }

  // The bench names a photo by its hash.
  const asText = ([name, value, , hash]) => (typeof value === 'string' ? [name, value] : ['sha256', hash]);

  /** A photo that waits to be sent, by its hash. */
  async function photo(hash) {
    for (const { fields } of await stored.waits()) {
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
    // A page that fetches what is new of the judgement that it waits for changes nothing about that.
    const waits = request.headers.has('X-Live') && judging?.job === job && judging.mine === turn;
    if (waits) judging.looked?.();
    else turn += 1;
    if (job && !waits && !answer.judged && !SHOWS_NONE.test(url.pathname)) {
      event.waitUntil(judge(url, job, turn, event.resultingClientId || event.clientId));
    }
    return given(answer, POLICY);
  }

  let turn = 0;
  let judging = null; // the job that is being judged, for which turn, and when that is done
  /** Judges once the phone rests on a page: while somebody goes on entering, the forms come first. */
  function judge(url, job, mine, page) {
    const done = judgeNow(url, job, mine, page).catch(() => {}).finally(() => { if (judging?.mine === mine) judging = null; });
    judging = { job, mine, done };
    return done.then(() => rehearse(url, job)).catch(() => {});
  }

  let rehearsed = null; // the instance that did
  /** Has the module go the way of a first look, so that the next entry does not wait until the browser has translated it. */
  async function rehearse(url, job) {
    await after(2 * REST_MS);
    const asked = judging ? null : await asks(new URL(`/jobs/${job}`, url));
    if (!asked || rehearsed === await run(asked.module)) return;
    rehearsed = await run(asked.module);
    await ask(asked.module, asked.question('rehearse'));
  }

  async function judgeNow(url, job, mine, page) {
    await after(REST_MS);
    if (mine !== turn) return;
    const begun = performance.now();
    const tell = (what) => stored.tell({ judged: job, ms: Math.round(performance.now() - begun), ...what });
    const asked = await asks(new URL(`/jobs/${job}`, url));
    if (!asked) return;
    let shown = null;
    const look = await ask(asked.module, asked.question('first')).catch(() => null);
    if (look?.first && mine === turn) {
      shown = Promise.race([new Promise((resolve) => { judging.looked = resolve; }), after(LOOK_MS)]);
      tell({ first: true });
    }
    let answer = await byPage(asked, mine, await clients.get(page), shown).catch(() => null);
    const lent = Boolean(answer?.judged);
    if (!lent) {
      // The page is another one by now, or gone: nobody waits for it.
      if (mine !== turn || (page && !(await clients.get(page)))) return;
      await shown;
      answer = await ask(asked.module, asked.question('judge'));
    }
    tell({ revision: answer?.revision, lent });
  }

  /** Has the page that waits for a judgement run its chains, and concludes from them; nothing where it does not. */
  async function byPage({ module, chains, question }, mine, page, shown) {
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
      // Meanwhile, once the page has its first look, what the conclusion needs is made here. Where a job cannot be judged, or
      // was, that is known at once.
      Promise.resolve(shown).then(() => ask(module, question('begin'))).then((begun) => { if (begun.judged) resolve(begun); }).catch(() => resolve(false));
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
    const entry = await stored.waiting(n);
    return entry ? about('read', new URL(entry.action, location.href), n) : null;
  }

  return { page, paper, photo, read };
})();
