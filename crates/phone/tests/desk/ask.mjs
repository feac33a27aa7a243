// Puts questions (a list, JSON, on standard input) to the module that is named, and prints its answers.
// With TIMES set it prints on standard error how long each took.

import { readFileSync, writeFileSync } from 'node:fs';

const { instance } = await WebAssembly.instantiate(readFileSync(process.argv[2]), {});
const { memory, room, answer, said } = instance.exports;

function ask(question) {
  const bytes = new TextEncoder().encode(JSON.stringify(question));
  const at = room(bytes.length); // first: the memory may grow and its buffer be another one
  new Uint8Array(memory.buffer, at, bytes.length).set(bytes);
  const length = answer();
  return JSON.parse(new TextDecoder().decode(new Uint8Array(memory.buffer, said(), length)));
}

const answers = [];
for (const question of JSON.parse(readFileSync(0, 'utf8'))) {
  const begun = performance.now();
  answers.push(ask(question));
  if (process.env.TIMES) console.error(`${question.what} ${question.path}: ${(performance.now() - begun).toFixed(0)} ms`);
}
writeFileSync(1, JSON.stringify(answers));
