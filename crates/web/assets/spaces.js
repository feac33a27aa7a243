// Filling spaces: what waits to be sent shows in its space, and without a network the strip goes on by itself.

import { all, watch } from './outbox.js';

let form = null;
let columns = 2;

/** Wakes the strip of the page that fills spaces. */
export function fillSpaces() {
  form = document.querySelector('.strip form[data-queue]');
  if (!form) return;
  columns = document.querySelectorAll('#grid .column').length || 1;
  // Kept, but not answered: the form is emptied, and the page stays.
  form.addEventListener('reset', () => setTimeout(goOn));
  choice().addEventListener('change', () => {
    // The strip of another space may say more than this one.
    if (navigator.onLine) location.assign(`${location.pathname}?space=${encodeURIComponent(choice().value)}`);
    else point();
  });
  watch(() => showWaiting().catch(() => {}));
  document.addEventListener('swapped', () => showWaiting().catch(() => {}));
  // The page may be an older one, kept on the device: what waits has filled its space meanwhile.
  showWaiting().then((last) => (last && cellOf(choice().value)?.dataset.waits !== undefined ? goOn() : point()), () => {});
}

const choice = () => form.querySelector('select[name=space]');
const cellOf = (space) => document.querySelector(`#grid .cell[data-spaces~="${CSS.escape(String(space))}"]`);
const isEmpty = (space) => cellOf(space)?.classList.contains('empty') ?? false;

async function goOn() {
  const filled = await showWaiting();
  const order = [...choice().options].map((option) => option.value).filter((value) => /^\d+$/.test(value));
  const from = order.indexOf(filled) + 1;
  const next = [...order.slice(from), ...order.slice(0, from)].find(isEmpty);
  if (next) choice().value = next;
  point();
}

/** Shows in the drawing which space is in hand. */
function point() {
  const space = choice().value;
  for (const cell of document.querySelectorAll('#grid .cell[aria-current]')) cell.removeAttribute('aria-current');
  cellOf(space)?.setAttribute('aria-current', 'true');
  const leg = form.querySelector('.space-choice .quiet');
  if (leg && leg.dataset.of !== space) leg.hidden = true;
  for (const small of form.querySelectorAll('.poles small')) small.hidden = true;
}

/** Marks every breaker that waits; the space of the last one. */
async function showWaiting() {
  const path = new URL(form.action, location.href).pathname;
  const waiting = (await all()).filter((entry) => entry.state !== 'held' && entry.action.split('?')[0] === path);
  let last;
  for (const entry of waiting) last = mark(new Map(entry.fields)) ?? last;
  return last;
}

function mark(fields) {
  const space = fields.get('space');
  const act = fields.get('act') ?? 'save';
  if (!space || !cellOf(space) || !['save', 'above', 'remove'].includes(act) && !act.startsWith('load:')) return undefined;
  if (act === 'remove') { write(cellOf(space), 'taken out', ''); return space; }
  const above = act === 'above' ? cellOf(Number.parseInt(space, 10) - columns) : null;
  const tile = form.querySelector(`button[value="${CSS.escape(act)}"]`);
  const number = (name) => (/^\d/.test(fields.get(name) ?? '') ? fields.get(name) : '');
  const poles = Number(above?.dataset.spaces.split(' ').length ?? (number('poles') || tile?.dataset.poles || 1));
  const rating = above?.querySelector('strong')?.textContent
    ?? `${number('rating-other') || number('rating') || tile?.dataset.rating || ''} A`;
  const feeds = above?.querySelector('.feeds')?.textContent ?? (act.startsWith('load:') ? act.slice(5) : fields.get('feeds') ?? '');
  const first = Number.parseInt(space, 10);
  for (let pole = 0; pole < poles; pole += 1) {
    const cell = cellOf(first + pole * columns);
    if (cell) write(cell, pole ? `with ${space}` : rating, pole ? '' : feeds);
  }
  return space;
}

function write(cell, rating, feeds) {
  const what = cell.querySelector('.what');
  if (!what) return;
  const strong = Object.assign(document.createElement('strong'), { textContent: rating });
  const small = Object.assign(document.createElement('small'), { textContent: ', waiting' });
  const top = document.createElement('span');
  top.append(strong, small);
  const words = Object.assign(document.createElement('span'), { className: 'feeds', textContent: feeds });
  what.replaceChildren(top, words);
  cell.classList.remove('empty');
  cell.dataset.waits = '';
}
