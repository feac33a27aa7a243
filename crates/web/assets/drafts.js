// Drafts: what is typed and not yet saved stays with this tab, for phones end a page while somebody is called away.
//
// Kept is only what differs from the page as it came, in the tab's own store, which ends with the tab. Passwords, codes and
// files are left out, and so is a choice that leads to another page. Once the form is saved, or is again as it came, nothing is kept.

const NEVER = ['password', 'file', 'hidden'];
const before = new WeakMap(); // form → its values as the page came

/** Fills in what was typed here before, and keeps what is typed from now on. */
export function keepDrafts() {
  for (const form of forms()) {
    before.set(form, values(form));
    const kept = read(form);
    if (kept && form.dataset.held === undefined && !document.querySelector('.error-list')) fill(form, kept);
  }
  const keep = ({ target }) => { if (before.has(target.form)) write(target.form); };
  document.addEventListener('input', keep);
  document.addEventListener('change', keep);
}

/** What was typed into a form is kept elsewhere now. */
export function dropDraft(form) {
  try { sessionStorage.removeItem(key(form)); } catch { /* a tab without a store keeps no drafts */ }
}

const forms = () => [...document.querySelectorAll('form[data-queue]')];
const action = (form) => form.getAttribute('action') ?? '';
const likewise = (form) => forms().filter((other) => action(other) === action(form));
const key = (form) => `draft ${location.pathname}${location.search} ${action(form)} ${likewise(form).indexOf(form)}`;
const fields = (form) => [...form.elements].filter((field) => field.name && field.tagName !== 'BUTTON' && field.tagName !== 'FIELDSET'
  && !NEVER.includes(field.type) && field.autocomplete !== 'one-time-code' && field.dataset.leads === undefined);
const isBox = (field) => field.type === 'radio' || field.type === 'checkbox';

/** Name of each field and its values: those ticked, or what is written, in their order. */
function values(form) {
  const all = {};
  for (const field of fields(form)) {
    all[field.name] ??= [];
    if (!isBox(field) || field.checked) all[field.name].push(field.value);
  }
  return all;
}

function write(form) {
  const [old, now] = [before.get(form), values(form)];
  const changed = Object.entries(now).filter(([name, list]) => JSON.stringify(list) !== JSON.stringify(old[name]));
  if (changed.length === 0) { dropDraft(form); return; }
  try { sessionStorage.setItem(key(form), JSON.stringify(changed)); } catch { /* no room: then it is as it was without drafts */ }
}

function read(form) {
  try { return JSON.parse(sessionStorage.getItem(key(form))); } catch { return null; }
}

function fill(form, kept) {
  for (const [name, list] of kept) {
    const rest = [...list];
    for (const field of fields(form).filter((field) => field.name === name)) {
      if (isBox(field)) field.checked = list.includes(field.value);
      else field.value = rest.shift() ?? '';
      const fold = field.closest('details:not([open])');
      if (fold && (field.checked || !isBox(field))) fold.open = true;
    }
  }
  form.dispatchEvent(new Event('change', { bubbles: true }));
}
