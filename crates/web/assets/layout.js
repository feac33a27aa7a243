// The new panel: a circuit dragged by its grip to another space. Without it, two taps do the same.

const FAR = 6; // px before a touch counts as a drag

/** Wakes the drawing of the new panel. */
export function dragCircuits() {
  const drawing = document.querySelector('svg[data-drop]');
  if (!drawing) return;
  let held = null;
  drawing.addEventListener('pointerdown', (event) => {
    const grip = event.target.closest('[data-from]');
    if (!grip) return;
    held = { grip, seat: grip.closest('a'), x: event.clientX, y: event.clientY, moved: false };
    drawing.setPointerCapture(event.pointerId);
  });
  drawing.addEventListener('pointermove', (event) => {
    if (!held) return;
    const [dx, dy] = [event.clientX - held.x, event.clientY - held.y];
    if (!held.moved && Math.hypot(dx, dy) < FAR) return;
    held.moved = true;
    const scale = drawing.viewBox.baseVal.width / drawing.getBoundingClientRect().width;
    held.seat.setAttribute('transform', `translate(${dx * scale} ${dy * scale})`);
    held.seat.classList.add('dragged');
    mark(under(event));
  });
  // Chromium heeds no touch-action of parts of a drawing: it would scroll the page, and the drag would be over.
  drawing.addEventListener('touchmove', (event) => {
    if (held && event.cancelable) event.preventDefault();
  }, { passive: false });
  const end = (event) => {
    if (!held) return;
    const { seat, grip, moved } = held;
    held = null;
    const to = moved && event.type === 'pointerup' ? under(event)?.dataset.space : undefined;
    seat.removeAttribute('transform');
    seat.classList.remove('dragged');
    mark(null);
    if (to && to !== seat.dataset.space) {
      location.assign(`${drawing.dataset.drop}&lock=${encodeURIComponent(grip.dataset.from)}-${to}#new-panel`);
    }
    if (moved) drawing.dataset.dragged = 'yes';
  };
  drawing.addEventListener('pointerup', end);
  drawing.addEventListener('pointercancel', end);
  // The click that ends a drag is no tap.
  drawing.addEventListener('click', (event) => {
    if (drawing.dataset.dragged) event.preventDefault();
    delete drawing.dataset.dragged;
  }, true);
  drawing.addEventListener('dragstart', (event) => event.preventDefault());

  function under(event) {
    const all = document.elementsFromPoint(event.clientX, event.clientY);
    return all.map((one) => one.closest('a[data-space]')).find((one) => one && !one.classList.contains('dragged'));
  }

  function mark(seat) {
    for (const one of drawing.querySelectorAll('.target')) one.classList.remove('target');
    seat?.classList.add('target');
  }
}
