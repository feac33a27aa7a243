// What waits: the count in the top bar, always, and the list behind it.

import { belongs, isBegin, likewise, typedName } from './begun.js';
import { dropped, missing, seen, tally } from './tally.js';
import { all, drop, flush, rename, watch } from './outbox.js';

const SETTLE_MS = 300;
const LOOK_MS = 5_000; // a browser does not always say that it has dropped what it kept

let dialog = null;
let voice = null;

/** Shows the count and keeps it right. */
export function showWaiting() {
  const badge = document.getElementById('waiting');
  if (!badge) return;
  voice = element('div', { id: 'said' });
  voice.setAttribute('role', 'status');
  document.querySelector('#main')?.prepend(voice);
  badge.addEventListener('click', (event) => {
    if (!('HTMLDialogElement' in globalThis)) return;
    event.preventDefault();
    showList();
  });
  badge.setAttribute('role', 'button');
  badge.addEventListener('keydown', (event) => {
    if (event.key === ' ') { event.preventDefault(); badge.click(); }
  });
  const draw = async (tells = false) => {
    let entries = await all();
    const fewer = missing(entries.length);
    if (fewer) {
      // Another tab may just have kept one more than was read here.
      await new Promise((resolve) => setTimeout(resolve, SETTLE_MS));
      entries = await all();
    }
    if (fewer || tells) tellDropped(entries);
    count(badge, entries);
    tally(entries.length);
  };
  watch(() => { draw().catch(() => {}); if (dialog?.open) fill(); });
  draw(true).catch(() => {});
  setInterval(() => draw().catch(() => {}), LOOK_MS);
  room().then((words) => { if (words.startsWith('Room')) say(words); }).catch(() => {});
  say(sessionStorage.getItem('say'));
  sessionStorage.removeItem('say');
}

/** Says what this browser dropped, on every page, until somebody has seen it. */
function tellDropped(entries) {
  const n = dropped(entries.length);
  document.getElementById('dropped')?.remove();
  if (!n) return;
  const told = element('div', { id: 'dropped', className: 'caution' }, [
    element('p', { textContent: `This browser has dropped ${n === 1 ? 'an entry' : `${n} entries`} that waited on this device and ${n === 1 ? 'was' : 'were'} not sent. Enter ${n === 1 ? 'it' : 'them'} again from your notes. What was sent before is at the bench.` }),
    button('I have seen it', 'plain', () => { seen(); told.remove(); }),
  ]);
  document.querySelector('#main')?.prepend(told);
}

const LITTLE_BYTES = 60_000_000; // a few photos
let renamed = () => Promise.resolve();
/** What is done with the entries of a job that was given another name. */
export function onRename(act) {
  renamed = act;
}

/** Whether this browser may drop what waits, and whether its room runs low; in plain words, or nothing. */
async function room() {
  const storage = navigator.storage;
  const { usage = 0, quota = Infinity } = (await storage?.estimate?.().catch(() => null)) ?? {};
  if (quota - usage < LITTLE_BYTES) {
    return `Room for what waits runs low on this device: about ${Math.max(0, Math.round((quota - usage) / 1e6))} MB are left. Bring it to the bench, or free some, before taking more photos.`;
  }
  const lasts = (await storage?.persisted?.().catch(() => true)) ?? true;
  return lasts ? '' : 'This browser has not promised to keep what waits: with little room left, or when it was not used for weeks, it may drop it. Putting the bench on the home screen helps; so does sending soon.';
}

/** Says something to eyes and to screen readers, without taking the focus. */
export function say(words) {
  voice?.replaceChildren(...(words ? [element('p', { className: 'note', textContent: words })] : []));
}

/** Says several things, each with a link to what it is about. */
export function sayList(title, all) {
  const line = ([words, id]) => element('li', {}, [element('a', { href: `#${id}`, textContent: words })]);
  voice?.replaceChildren(element('div', { className: 'error-list' }, [
    element('h2', { textContent: title }),
    element('ul', {}, all.map(line)),
  ]));
}

/** The same, on the page that comes next. */
export function sayNext(words) {
  sessionStorage.setItem('say', words);
}

function count(badge, entries) {
  const held = entries.filter((entry) => entry.state === 'held').length;
  const mustJoin = entries.some((entry) => entry.state === 'join');
  let words = entries.length ? `${entries.length} waiting` : 'All sent';
  if (mustJoin) words += ', join again';
  else if (held) words += `, ${held} to look at`;
  if (badge.textContent !== words) badge.textContent = words;
  badge.dataset.waiting = entries.length;
  badge.dataset.state = mustJoin ? 'join' : held ? 'held' : entries.length ? 'waiting' : 'sent';
}

async function showList() {
  if (!dialog) {
    dialog = document.createElement('dialog');
    dialog.id = 'waiting-list';
    dialog.className = 'sheet';
    dialog.setAttribute('aria-labelledby', 'waiting-title');
    document.body.append(dialog);
  }
  await fill();
  if (!dialog.open) dialog.showModal();
}

async function fill() {
  const entries = await all();
  const warning = entries.length ? await room() : '';
  const list = element('ul', { className: 'facts' }, entries.map((entry) => line(entry, entries)));
  const note = entries.length
    ? 'These are kept on this device, even when the browser is closed, until the server has stored them.'
    : 'Nothing waits. Everything entered on this device has been stored by the server.';
  dialog.replaceChildren(
    element('h2', { id: 'waiting-title', textContent: entries.length ? `${entries.length} waiting` : 'All sent' }),
    element('p', { textContent: note }),
    ...(warning ? [element('p', { className: 'caution', textContent: warning })] : []),
    list,
    element('div', { className: 'actions' }, [
      ...(entries.some((entry) => entry.state === 'join') ? [element('a', { className: 'big', href: '/join', textContent: 'Join again' })] : []),
      button('Close', 'plain', () => dialog.close()),
      ...(entries.length ? [button('Send now', 'big', () => flush({ now: true }).then(fill))] : []),
    ]),
  );
}

function line(entry, entries) {
  const follows = isBegin(entry) ? entries.filter((other) => belongs(other, entry)).length : 0;
  const waitsFor = entries.some((begin) => begin.state === 'held' && isBegin(begin) && belongs(entry, begin));
  const state = waitsFor && entry.state !== 'held' ? 'waits for the entry that begins its job' : {
    waiting: 'waits for the network',
    join: 'waits until this device has joined again',
    held: 'needs another look',
  }[entry.state];
  const kept = new Date(entry.kept).toLocaleTimeString([], { hour: '2-digit', minute: '2-digit' });
  const page = entry.page.split('#')[0];
  return element('li', {}, [
    element('strong', { textContent: entry.title }),
    element('span', { textContent: ` · ${kept} · ${state}` }),
    ...entry.errors.map(({ message }) => element('p', { className: 'error', textContent: message })),
    ...(isTaken(entry) ? [otherName(entry, follows)] : []),
    element('div', { className: 'actions-inline' }, [
      ...(entry.state === 'held' ? [element('a', { className: 'plain', href: `${page}#held-${entry.n}`, textContent: 'Correct' })] : []),
      dropButton(entry, follows),
    ]),
  ]);
}

/** Was the name that was typed for a new job refused? */
const isTaken = (entry) => entry.state === 'held' && isBegin(entry) && typedName(entry) !== '' && entry.errors.some(({ field }) => field === 'job');

/** One correction for a job whose name is taken: all that was entered for it goes along. */
function otherName(entry, follows) {
  const field = element('input', { type: 'text', id: `name-${entry.n}`, value: likewise(typedName(entry)), maxLength: 60, autocapitalize: 'off', spellcheck: false });
  const words = follows ? `Rename, with ${follows} ${follows === 1 ? 'entry' : 'entries'} that belong${follows === 1 ? 's' : ''} to it` : 'Rename';
  return element('div', { className: 'field' }, [
    element('label', { htmlFor: field.id, textContent: 'Another name for this job' }),
    field,
    button(words, 'big', async () => {
      const name = field.value.trim();
      if (!name) { field.focus(); return; }
      await renamed(await rename(entry.n, name)).catch(() => {});
      await flush({ now: true });
      await fill();
    }),
  ]);
}

/** Asks once more: what is dropped is gone. */
function dropButton(entry, follows) {
  const what = follows ? `the job, with ${follows} ${follows === 1 ? 'entry' : 'entries'}` : 'it';
  const drops = button('Drop', 'plain', () => {
    if (drops.dataset.sure) { drop(entry.n); return; }
    drops.dataset.sure = 'yes';
    drops.textContent = `Drop ${what} for good`;
  });
  drops.setAttribute('aria-label', `Drop: ${entry.title}`);
  return drops;
}

function button(words, className, act) {
  const made = element('button', { type: 'button', className, textContent: words });
  made.addEventListener('click', act);
  return made;
}

function element(name, properties, children = []) {
  const made = Object.assign(document.createElement(name), properties);
  made.append(...children);
  return made;
}
