// Pins: a tap on a photo sets where the pin goes. The fields for it can be filled by hand as well.

/** Wakes photos that take a pin: an element marked `data-pins` whose form has the fields `x` and `y`. */
export function placePins() {
  for (const photo of document.querySelectorAll('[data-pins]')) {
    const form = photo.closest('form') ?? document.getElementById(photo.dataset.pins);
    const [x, y] = [form?.elements.x, form?.elements.y];
    if (!x || !y) continue;
    const pin = document.createElement('span');
    pin.className = 'pin new';
    pin.setAttribute('aria-hidden', 'true');
    pin.hidden = true;
    photo.append(pin);
    const draw = () => {
      pin.hidden = x.value === '' || y.value === '';
      // Set by script on the element itself, which the page's policy allows; an attribute it would not.
      pin.style.left = `${Number(x.value) * 100}%`;
      pin.style.top = `${Number(y.value) * 100}%`;
    };
    photo.addEventListener('click', (event) => {
      const box = (photo.querySelector('img') ?? photo).getBoundingClientRect();
      const share = (at, from, length) => Math.min(1, Math.max(0, (at - from) / length)).toFixed(3);
      x.value = share(event.clientX, box.left, box.width);
      y.value = share(event.clientY, box.top, box.height);
      draw();
    });
    x.addEventListener('input', draw);
    y.addEventListener('input', draw);
    draw();
  }
}
