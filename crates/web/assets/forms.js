// Forms: a submitted form goes into the outbox first; what the server says of it is shown where it belongs.

import { answer, flush, fresh, get, hold, keep, makeRoom, note, ofBegun, open, straight } from './outbox.js';
import { dropDraft } from './drafts.js';
import { onRename, say, sayList, sayNext } from './waiting.js';

const READ_MS = 6_000; // how long the phone may take to read an entry itself
const ANSWER_MS = 4_000; // how long a tap waits for the server before the work goes on

/** Takes over the forms that may wait. */
export function takeForms() {
  document.addEventListener('submit', (event) => {
    const form = event.target;
    if (event.defaultPrevented || !form.matches('form[data-queue]') || form.dataset.plain) return;
    event.preventDefault();
    if (form.ariaBusy === 'true') return;
    form.ariaBusy = 'true';
    submit(form, event.submitter)
      .catch((error) => { console.error(error); say('This could not be kept or sent. It still stands in the form.'); })
      .finally(() => { form.ariaBusy = 'false'; });
  });
  refill();
  onRename(readAgain);
}

/** Without a place to keep things the form is sent as it would be without script. */
function plainly(form, submitter) {
  form.dataset.plain = 'yes';
  dropDraft(form);
  // Later: while the event of the first submit is still going round, a second one is ignored.
  setTimeout(() => form.requestSubmit(submitter));
}

async function submit(form, submitter) {
  if (!form.reportValidity()) return;
  const entry = await read(form, submitter);
  const instead = form.dataset.held === undefined ? undefined : Number(form.dataset.held);
  let n;
  try {
    n = await keep(entry, instead).catch(async (error) => {
      if (error.name !== 'QuotaExceededError' || !(await makeRoom())) throw error;
      return keep(entry, instead);
    });
  } catch (error) {
    // A browser that keeps nothing at all is one without script; else the form is not left before it is stored.
    const keepsNothing = await open().then(() => false, () => true);
    if (keepsNothing && navigator.onLine) plainly(form, submitter);
    else await withoutRoom(form, entry);
    return;
  }
  delete form.dataset.held;
  dropDraft(form);
  // Where the bench was silent for this page nobody waits for it: what is kept here is sent from the next page.
  const early = madeHere();
  let own = early ? await readHere(n, entry) : null;
  const outcome = own ? {} : await sent(n);
  if (outcome.errors) {
    form.dataset.held = n;
    showErrors(form, outcome.errors);
  } else if (outcome.go) {
    goTo(outcome.go);
  } else {
    if (!early) own = await readHere(n, entry);
    if (own?.errors) {
      await hold(n, own.errors);
      form.dataset.held = n;
      showErrors(form, own.errors);
      return;
    }
    if (instead !== undefined) readAgain((await ofBegun(n)).slice(1)).catch(() => {});
    let words = outcome.join ? 'Kept on this device. Join again to send it.' : 'Kept on this device. It is sent when there is a network.';
    if (own?.go) {
      sayNext(words);
      goTo(own.go);
      return;
    }
    if (!navigator.onLine && !own) words += ' Judging it needs the laptop.';
    const then = onward(form);
    form.reset();
    if (then) {
      sayNext(words);
      goTo(then);
    } else {
      say(words);
    }
  }
}

/** There is no room to keep it: it is sent at once, or stays in the form. Nothing is said to be kept that is not. */
async function withoutRoom(form, entry) {
  const outcome = await straight(entry);
  if (outcome?.go) goTo(outcome.go);
  else if (outcome?.errors) showErrors(form, outcome.errors);
  else say('This device has no room to keep this, and the bench does not answer. It is NOT saved: it still stands in the form. Send what waits, or free some room, then save again.');
}

/** Reads entries again, one after the other: their job has another name. */
async function readAgain(numbers) {
  for (const n of numbers) {
    const entry = await get(n);
    if (entry) await readHere(n, entry);
  }
}

/** What the phone itself makes of an entry: where to go on, or what is wrong. Nothing where it cannot tell. */
async function readHere(n, entry) {
  const worker = navigator.serviceWorker?.controller;
  if (!worker || entry.fields.some(([, value, , hash]) => typeof value !== 'string' && !hash)) return null;
  const { port1, port2 } = new MessageChannel();
  const answered = new Promise((resolve) => { port1.onmessage = ({ data }) => resolve(data); });
  worker.postMessage({ read: n }, [port2]);
  const own = await Promise.race([answered, new Promise((resolve) => setTimeout(resolve, READ_MS, null))]);
  if (own?.status === 422) return { errors: own.errors.map(([field, message]) => ({ field, message })) };
  if (own?.status !== 200 || !own.facts) return null;
  // Without room for its facts the entry is still kept; the form is read again where they are asked for.
  await note(n, own).catch(() => {});
  return own;
}

/** Did the phone make this page itself, because the bench was silent? */
const madeHere = () => document.getElementById('remark') !== null;

/** What comes of sending an entry: the bench's answer, or nothing where none is to be had now. */
function sent(n) {
  const answered = answer(n);
  const late = new Promise((resolve) => setTimeout(resolve, navigator.onLine ? ANSWER_MS : 0, {}));
  flush({ now: true }).catch(() => {});
  return Promise.race([answered, late, stillWaiting(n)]);
}

/** Resolves once a try is over and the entry is still here: there is no network, no need to wait any longer. */
async function stillWaiting(n) {
  await new Promise((resolve) => setTimeout(resolve, 50));
  await flush({ now: true });
  const entry = await get(n);
  // Gone or marked: the answer comes, or another tab had it and a little later says so.
  return entry?.state === 'waiting' ? {} : new Promise((resolve) => setTimeout(resolve, 500, {}));
}

/** Where the work goes on when the server cannot say: the page before the form, or the bench. */
function onward(form) {
  const go = form.elements.namedItem('go')?.value;
  if (go?.startsWith('/') && !go.startsWith('//')) return go;
  const here = location.pathname;
  const job = /^\/jobs\/[^/]+/.exec(here)?.[0];
  const before = document.referrer && new URL(document.referrer);
  if (job && before && before.origin === location.origin && before.pathname.startsWith(job) && before.pathname !== here) {
    return before.pathname + before.search;
  }
  return /^\/jobs\/[^/]+\/(enter|call)\b/.test(here) ? job : '';
}

function goTo(address) {
  const url = new URL(address, location.href);
  if (url.pathname + url.search === location.pathname + location.search) {
    if (url.hash) location.hash = url.hash;
    location.reload();
  } else {
    location.assign(url);
  }
}

/** What a form holds, as it is kept. */
async function read(form, submitter) {
  const data = new FormData(form, submitter);
  data.set('entry', fresh());
  const at = form.elements.at;
  if (!at || at.type === 'hidden' || at.value === '') data.set('at', localTime());
  const fields = [];
  for (const [name, value] of data) {
    if (typeof value === 'string') fields.push([name, value]);
    else if (value.size) {
      // The bytes themselves: the file that the camera wrote may be gone when there is a network again.
      const bytes = await value.arrayBuffer();
      fields.push([name, new Blob([bytes], { type: value.type }), value.name, await hashOf(bytes)]);
    }
  }
  const action = new URL(submitter?.getAttribute('formaction') ?? form.getAttribute('action') ?? '', location.href);
  const path = action.pathname + action.search;
  return {
    entry: data.get('entry'),
    job: /^\/jobs\/([^/]+)/.exec(path)?.[1] ?? '',
    action: path,
    fields,
    title: titled(form),
    page: location.pathname + location.search,
    kept: Date.now(),
  };
}

/** The name that the bench will give a photo; none on plain http, where the phone makes no pages. */
async function hashOf(bytes) {
  const hash = await crypto.subtle?.digest('SHA-256', bytes);
  return hash && Array.from(new Uint8Array(hash), (byte) => byte.toString(16).padStart(2, '0')).join('');
}

/** The time on this device's clock, `YYYY-MM-DDTHH:MM:SS`, of its own zone. */
export function localTime() {
  const now = new Date();
  return new Date(now - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 19);
}

/** A line by which a person knows the entry again. */
function titled(form) {
  const heading = form.dataset.title ?? document.querySelector('h1')?.textContent ?? document.title;
  const said = [];
  for (const field of form.elements) {
    if (!field.name || field.type === 'hidden' || field.disabled) continue;
    if (field.type === 'file') said.push(`${field.files.length} photo${field.files.length === 1 ? '' : 's'}`);
    else if (field.type === 'radio' || field.type === 'checkbox') { if (field.checked) said.push(wordOf(field)); }
    else if (field.tagName === 'SELECT') said.push(field.selectedOptions[0]?.textContent.trim() ?? '');
    else if (field.tagName !== 'BUTTON' && field.value) said.push(field.value);
  }
  return `${heading.trim()}: ${said.filter(Boolean).join(', ')}`.replace(/\s+/g, ' ').slice(0, 120);
}

/** The word of a tile, without the remark below it. */
function wordOf(field) {
  const tile = field.labels?.[0]?.querySelector('span') ?? field.labels?.[0];
  const word = tile?.firstChild?.nodeType === Node.TEXT_NODE ? tile.firstChild.textContent : tile?.textContent;
  return word?.trim() ?? field.value;
}

/** Opened by "Correct": the page of a held entry, with what was entered and what is wrong with it. */
async function refill() {
  const n = Number(/^#held-(\d+)$/.exec(location.hash)?.[1]);
  if (!n) return;
  const entry = await get(n).catch(() => undefined);
  if (!entry) return;
  const same = (form) => new URL(form.getAttribute('action') ?? '', location.href).pathname === entry.action.split('?')[0];
  const form = [...document.querySelectorAll('form[data-queue]')].find(same);
  if (!form) return;
  for (const field of form.elements) {
    if (!field.name || field.type === 'file' || ['entry', 'csrf'].includes(field.name)) continue;
    const values = entry.fields.filter(([name]) => name === field.name).map(([, value]) => value);
    if (field.type === 'radio' || field.type === 'checkbox') field.checked = values.includes(field.value);
    else if (field.tagName !== 'BUTTON' && values.length) field.value = values[0];
  }
  form.dataset.held = n;
  showErrors(form, entry.errors);
}

/** Puts each message at its field and the focus on the first. */
function showErrors(form, errors) {
  for (const old of form.querySelectorAll('[data-said]')) old.remove();
  for (const field of form.querySelectorAll('[aria-invalid]')) field.removeAttribute('aria-invalid');
  for (const place of form.querySelectorAll('.wrong')) place.classList.remove('wrong');
  let first = null;
  const list = [];
  errors.forEach(({ field: name, message }, idx) => {
    const said = document.createElement('p');
    said.className = 'error';
    said.dataset.said = '';
    said.id = `said-${idx}`;
    said.textContent = message;
    const named = name ? form.elements.namedItem(name) : null;
    const field = named instanceof RadioNodeList ? named[0] : named;
    const place = field && field.type !== 'hidden' ? field.closest('fieldset.pick, .field, .keypad') : null;
    list.push([message, place ? place.id || field.id || said.id : said.id]);
    if (place) {
      place.classList.add('wrong');
      field.setAttribute('aria-invalid', 'true');
      field.setAttribute('aria-describedby', said.id);
      place.append(said);
      first ??= field;
    } else {
      form.prepend(said);
      said.tabIndex = -1;
      first ??= said;
    }
  });
  first?.focus();
  sayList('Not saved yet', list);
}
