// Threads for the judgement. A service worker has only its own, and while it judges it answers nobody; so the page that waits
// for the judgement lends it some. Each runs whole chains, which come out the same wherever they are run.

const BEAT_MS = 1_000; // how often the service worker hears that the threads are still at it
const FEWEST = 2; // where the browser does not say how many it has

let stop = () => {};

/** Lends threads whenever the service worker asks for them, or says that there are none to lend. */
export function lendThreads() {
  navigator.serviceWorker?.addEventListener('message', ({ data, ports }) => { if (data?.lend) lend(data.lend, ports[0]); });
}

/** Runs the chains of a judgement; an earlier one is not wanted any more. */
function lend({ module, question, chains }, port) {
  stop();
  if (!('Worker' in globalThis)) { port.postMessage({ failed: 'no threads' }); return; }
  const threads = [];
  const beat = setInterval(() => port.postMessage({}), BEAT_MS);
  const end = () => {
    clearInterval(beat);
    for (const thread of threads) thread.terminate();
  };
  const fail = (failed) => { end(); port.postMessage({ failed }); };
  stop = end;
  port.onmessage = end;
  port.postMessage({});
  let next = 0;
  const give = (thread) => {
    if (next < chains) thread.postMessage({ module, question, chain: next++ });
    else thread.terminate();
  };
  for (let n = Math.min(chains, navigator.hardwareConcurrency || FEWEST); 0 < n; n -= 1) {
    const thread = new Worker('/chain.js');
    threads.push(thread);
    thread.addEventListener('error', () => fail('a thread cannot be started'));
    thread.addEventListener('message', ({ data }) => {
      if (data.failed) { fail(data.failed); return; }
      port.postMessage(data, [data.draws]);
      give(thread);
    });
    give(thread);
  }
}
