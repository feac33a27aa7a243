// One thread of a judgement, lent by a page: an instance of the module that runs chains and nothing else.

let instance = null;

async function ready(module) {
  const kept = await (await caches.open('module')).match(module);
  if (!kept) throw new Error('the module is not kept');
  return (await WebAssembly.instantiateStreaming(kept, {})).instance.exports;
}

addEventListener('message', async ({ data: { module, question, chain } }) => {
  try {
    instance ??= ready(module);
    const { memory, room, said, chain: run } = await instance;
    const bytes = new TextEncoder().encode(question);
    const at = room(bytes.length); // first: the memory may grow and its buffer be another one
    new Uint8Array(memory.buffer, at, bytes.length).set(bytes);
    const length = run(chain);
    if (!length) throw new Error('the chain cannot be run');
    const draws = memory.buffer.slice(said(), said() + length);
    postMessage({ chain, draws }, [draws]);
  } catch (error) {
    postMessage({ failed: String(error) });
  }
});
