// A job that was begun on this device: what was entered for it waits for the entry that begins it, and goes where that
// goes. Should its name be taken at the bench, one correction takes all of it along; nothing gets into the other job.

/** Does this entry begin a job? */
export const isBegin = (entry) => entry.action.split('?')[0] === '/new';

/** Does an entry belong to the job that `begin` begins? Entries of older versions do not say: then the name and the order do. */
export const belongs = (entry, begin) =>
  entry.after === begin.n || (entry.after === undefined && begin.job !== '' && entry.job === begin.job && begin.n < entry.n);

/** The entry by which the job of a new entry begins, where it still waits here; 0: the job is at the bench. */
export const begunBy = (entry, waiting) =>
  (!isBegin(entry) && waiting.findLast((one) => isBegin(one) && one.state !== 'held' && one.job !== '' && one.job === entry.job)?.n) || 0;

/** An entry under another name of its job. What the phone made of it named the old one: it is read again. */
function under(entry, from, to) {
  const renamed = (text) => (/[/?#]|^$/.test(text.slice(from.length + 6, from.length + 7)) && text.startsWith(`/jobs/${from}`)
    ? `/jobs/${to}${text.slice(from.length + 6)}` : text);
  const fields = entry.fields.map(([name, value, ...file]) => [name, typeof value === 'string' ? renamed(value) : value, ...file]);
  const { facts, ...rest } = entry;
  return { ...rest, job: to, action: renamed(entry.action), page: renamed(entry.page ?? ''), fields };
}

/** Walks the entries that belong to a job begun here, within a transaction. */
function walk(store, begin, act) {
  store.openCursor(IDBKeyRange.lowerBound(begin.n, true)).onsuccess = ({ target }) => {
    const cursor = target.result;
    if (!cursor) return;
    if (belongs(cursor.value, begin)) act(cursor);
    cursor.continue();
  };
}

/** Takes everything that belongs to a begun job along under its new name. */
export function follow(store, begin, to) {
  if (to && to !== begin.job) walk(store, begin, (cursor) => cursor.update({ ...under(cursor.value, begin.job, to), after: begin.n }));
}

/** Drops everything that belongs to a begun job. */
export function dropAll(store, begin) {
  walk(store, begin, (cursor) => cursor.delete());
}

/** The entry that begins a job, under another name: as if it had been typed so. */
export function named(begin, to) {
  const { facts, ...rest } = begin;
  const fields = begin.fields.map(([name, value, ...file]) => [name, name === 'job' ? to : value, ...file]);
  return { ...rest, job: encodeURIComponent(to), fields, state: 'waiting', tried: 0, errors: [] };
}

/** The name that was typed for a new job. */
export const typedName = (begin) => begin.fields.find(([name]) => name === 'job')?.[1]?.trim() ?? '';

/** A name like one that is taken. */
export const likewise = (name) => {
  const [, stem, number] = /^(.*?)(?:-(\d{1,3}))?$/.exec(name);
  return `${stem}-${Number(number ?? 1) + 1}`;
};
