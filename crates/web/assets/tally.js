// How many entries wait, noted apart from them. A browser that drops its storage for want of room leaves cookies alone:
// so what it took with it is said, and not gone in silence.

const read = (name) => Number(new RegExp(`(?:^|; )${name}=(\\d+)`).exec(document.cookie)?.[1] ?? 0);
function write(name, n) {
  const secure = location.protocol === 'https:' ? '; secure' : '';
  document.cookie = `${name}=${n}; path=/; max-age=${n ? 31_536_000 : 0}; samesite=strict${secure}`;
}

/** Notes how many wait. */
export const tally = (n) => write('waits', n);

/** Notes that one more is on the disk. */
export const arrived = () => write('waits', read('waits') + 1);

/** Are fewer here than were noted? `n` wait now. */
export const missing = (n) => n < read('waits');

/** Notes that some are about to leave because they are stored elsewhere, or not wanted. */
export const leaving = (n = 1) => write('waits', Math.max(0, read('waits') - n));

/** How many were dropped by the browser, those told before and not yet seen included; `n` wait now. */
export function dropped(n) {
  const gone = read('dropped') + Math.max(0, read('waits') - n);
  write('dropped', gone);
  write('waits', n);
  return gone;
}

/** They were told of. */
export const seen = () => write('dropped', 0);
