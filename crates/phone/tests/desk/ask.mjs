// Puts questions (a list, JSON, on standard input) to the module that is named, and prints its answers.
// With TIMES set it prints on standard error how long each took. A question with `apart` has its chains run by an instance
// each, as threads do in a browser.

import { readFileSync, writeFileSync } from 'node:fs';

const module = await WebAssembly.compile(readFileSync(process.argv[2]));
const start = async () => (await WebAssembly.instantiate(module, {})).exports;

function put({ memory, room }, question) {
  const bytes = new TextEncoder().encode(JSON.stringify(question));
  const at = room(bytes.length); // first: the memory may grow and its buffer be another one
  new Uint8Array(memory.buffer, at, bytes.length).set(bytes);
}

function ask(instance, question) {
  put(instance, question);
  const length = instance.answer();
  return JSON.parse(new TextDecoder().decode(new Uint8Array(instance.memory.buffer, instance.said(), length)));
}

async function apart(instance, question) {
  const chains = [];
  for (let number = 0; number < question.desk.chains; number += 1) {
    const other = await start();
    put(other, question);
    const length = other.chain(number);
    chains.push(new Uint8Array(other.memory.buffer, other.said(), length).slice());
  }
  for (const chain of chains) {
    const at = instance.carried(chain.length);
    new Uint8Array(instance.memory.buffer, at, chain.length).set(chain);
  }
  return ask(instance, { ...question, what: 'conclude' });
}

const main = await start();
const answers = [];
for (const question of JSON.parse(readFileSync(0, 'utf8'))) {
  const begun = performance.now();
  answers.push(question.apart ? await apart(main, question) : ask(main, question));
  if (process.env.TIMES) console.error(`${question.what} ${question.path}: ${(performance.now() - begun).toFixed(0)} ms`);
}
writeFileSync(1, JSON.stringify(answers));
