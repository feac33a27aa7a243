// The keypad: big keys beside a number field, for gloves. Without script the phone's own keyboard does it.

/** Wakes the keypads of the page, also of parts that come later. */
export function wakePads() {
  for (const pad of document.querySelectorAll('.keypad')) wake(pad);
  document.addEventListener('swapped', ({ target }) => target.querySelectorAll('.keypad').forEach(wake));
}

function wake(pad) {
  const inputs = [...pad.querySelectorAll('input:not([type=hidden])')];
  const keys = pad.querySelectorAll('[data-key]');
  if (inputs.length === 0 || keys.length === 0) return;
  let current = inputs[0];
  for (const input of inputs) {
    input.addEventListener('focus', () => {
      current = input;
      // With several pads on a page, only the one in use shows its keys.
      for (const other of document.querySelectorAll('.keypad')) show(other, other === pad);
    });
    // With a coarse pointer the keys below take the place of the phone's keyboard.
    if (matchMedia('(pointer: coarse)').matches) input.inputMode = 'none';
  }
  // The first field of the page is what people came for: its keys are there at once.
  show(pad, pad === document.querySelector('.keypad:not(details:not([open]) *)'));
  for (const key of keys) {
    // A press must not take the focus from the field, or the caret is lost.
    key.addEventListener('pointerdown', (event) => event.preventDefault());
    key.addEventListener('click', () => {
      navigator.vibrate?.(12);
      const value = pressed(current.value, key.dataset.key);
      if (value === null) { step(inputs, current)?.focus(); return; }
      current.value = value;
      current.dispatchEvent(new Event('input', { bubbles: true }));
    });
  }
}

function show(pad, shown) {
  for (const key of pad.querySelectorAll('[data-key]')) key.hidden = !shown;
}

/** The text after a key; `null` for "next field". */
export function pressed(text, key) {
  switch (key) {
    case 'next': return null;
    case 'clear': return '';
    case 'back': return text.slice(0, -1);
    case 'sign': case '+-': case '±': case '-': return text.startsWith('-') ? text.slice(1) : `-${text}`;
    case 'point': case '.': case ',': return /[.,]/.test(text) ? text : `${text.replace(/^-?$/, '$&0')}.`;
    default: return /^\d$/.test(key) ? text.replace(/^(-?)0$/, '$1') + key : text;
  }
}

const step = (inputs, current) => inputs[(inputs.indexOf(current) + 1) % inputs.length];
