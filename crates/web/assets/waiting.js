// What waits: the count in the top bar, always, and the list behind it.

import { all, drop, flush, open, watch } from './outbox.js';

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
  const draw = () => all().then((entries) => count(badge, entries)).catch(() => {});
  watch(() => { draw(); if (dialog?.open) fill(); });
  open().then(draw, () => {});
  room().then((words) => { if (words.startsWith('Room')) say(words); }).catch(() => {});
  say(sessionStorage.getItem('say'));
  sessionStorage.removeItem('say');
}

const LITTLE_BYTES = 60_000_000; // a few photos
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
  const list = element('ul', { className: 'facts' }, entries.map(line));
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

function line(entry) {
  const state = {
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
    element('div', { className: 'actions-inline' }, [
      ...(entry.state === 'held' ? [element('a', { className: 'plain', href: `${page}#held-${entry.n}`, textContent: 'Correct' })] : []),
      dropButton(entry),
    ]),
  ]);
}

/** Asks once more: what is dropped is gone. */
function dropButton(entry) {
  const drops = button('Drop', 'plain', () => {
    if (drops.dataset.sure) { drop(entry.n); return; }
    drops.dataset.sure = 'yes';
    drops.textContent = 'Drop it for good';
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
