'use strict';
// Moving, enlarging, and lighting a way. The drawing is complete without this.
const view = document.getElementById('view');
const svg = document.getElementById('drawing');
const told = document.getElementById('told');
const feeds = document.getElementById('feed');
const lines = [...svg.querySelectorAll('g.line')];
const boxes = [...svg.querySelectorAll('g.box')];
const [, , fullWidth, fullHeight] = svg.getAttribute('viewBox').split(' ').map(Number);
const seen = { x: 0, y: 0, width: fullWidth, height: fullHeight };

view.classList.add('live');
document.getElementById('tools').hidden = false;

function show() {
  svg.setAttribute('viewBox', `${seen.x} ${seen.y} ${seen.width} ${seen.height}`);
}

function enlarge(factor, x = seen.x + seen.width / 2, y = seen.y + seen.height / 2) {
  const size = Math.min(fullWidth * 2, Math.max(fullWidth / 40, seen.width / factor)) / seen.width;
  seen.x = x - (x - seen.x) * size;
  seen.y = y - (y - seen.y) * size;
  seen.width *= size;
  seen.height *= size;
  show();
}

function move(right, down) {
  seen.x = Math.min(fullWidth, Math.max(-seen.width, seen.x + right));
  seen.y = Math.min(fullHeight, Math.max(-seen.height, seen.y + down));
  show();
}

function whole() {
  Object.assign(seen, { x: 0, y: 0, width: fullWidth, height: fullHeight });
  show();
}

// Where all of it would be too small to read, the first look is at its beginning, at a size that can be read.
function begin() {
  const scale = Math.min(view.clientWidth / fullWidth, view.clientHeight / fullHeight);
  if (scale > 0.45) return;
  const width = view.clientWidth / 0.6;
  const height = view.clientHeight / 0.6;
  const sources = boxes.map(box => box.getBBox()).sort((one, other) => one.x - other.x)[0];
  const middle = sources ? sources.y + sources.height / 2 : fullHeight / 2;
  Object.assign(seen, { x: 0, y: Math.max(0, Math.min(fullHeight - height, middle - height / 2)), width, height });
  show();
}

// A place on the screen as a place in the drawing.
function placeOf(event) {
  const place = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  return [place.x, place.y];
}

function light(numbers) {
  const lit = new Set(numbers);
  for (const line of lines) line.classList.toggle('lit', lit.has(line.id));
  for (const box of boxes) box.classList.toggle('lit', lit.has(box.id));
  svg.classList.toggle('following', lit.size > 0);
}

function boxesOf(line) {
  return line.dataset.boxes.split(' ').map(number => `box-${number}`);
}

// A box with its lines and what is at their far ends; a line with its two boxes.
function around(element) {
  const its = element.classList.contains('line') ? [element] : lines.filter(line => boxesOf(line).includes(element.id));
  return [element.id, ...its.flatMap(line => [line.id, ...boxesOf(line)])];
}

function lightFeed() {
  const number = feeds && feeds.value;
  if (!number) {
    light([]);
    told.textContent = '';
    return;
  }
  const its = ways[number].map(each => document.getElementById(`line-${each}`));
  light(its.flatMap(line => [line.id, ...boxesOf(line)]));
  told.textContent = `${feeds.selectedOptions[0].textContent}: ${its.length} ${its.length === 1 ? 'connection' : 'connections'} on its way`;
}

function point(element) {
  if (!element) return lightFeed();
  light(around(element));
  told.textContent = element.getAttribute('aria-label');
}

const pointers = new Map();
let hasMoved = false;
view.addEventListener('pointerdown', event => {
  pointers.set(event.pointerId, event);
  hasMoved = false;
});
view.addEventListener('pointermove', event => {
  const before = pointers.get(event.pointerId);
  if (!before) return;
  const scale = svg.getScreenCTM().a;
  if (pointers.size === 2) {
    const [other] = [...pointers.values()].filter(each => each.pointerId !== event.pointerId);
    const distance = at => Math.hypot(at.clientX - other.clientX, at.clientY - other.clientY);
    enlarge(distance(event) / Math.max(1, distance(before)), ...placeOf(other));
  } else if (hasMoved || Math.hypot(event.clientX - before.clientX, event.clientY - before.clientY) > 3) {
    hasMoved = true;
    view.setPointerCapture(event.pointerId);
    move((before.clientX - event.clientX) / scale, (before.clientY - event.clientY) / scale);
  } else return;
  pointers.set(event.pointerId, event);
});
for (const end of ['pointerup', 'pointercancel']) view.addEventListener(end, event => pointers.delete(event.pointerId));
view.addEventListener('wheel', event => {
  event.preventDefault();
  enlarge(Math.exp(-event.deltaY * 0.0015), ...placeOf(event));
}, { passive: false });
view.addEventListener('keydown', event => {
  const step = seen.width / 10;
  const does = {
    ArrowLeft: () => move(-step, 0),
    ArrowRight: () => move(step, 0),
    ArrowUp: () => move(0, -step),
    ArrowDown: () => move(0, step),
    '+': () => enlarge(1.25),
    '=': () => enlarge(1.25),
    '-': () => enlarge(0.8),
    0: whole,
    Escape: () => document.activeElement.blur(),
  }[event.key];
  if (!does || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  does();
});

svg.addEventListener('pointerover', event => {
  if (pointers.size === 0) point(event.target.closest('g.box, g.line'));
});
svg.addEventListener('pointerleave', () => point(document.activeElement.closest('g.box, g.line')));
svg.addEventListener('focusin', event => {
  const element = event.target.closest('g.box, g.line');
  point(element);
  // Whoever moves by keys must see where they are.
  if (!element || !element.matches(':focus-visible')) return;
  const box = element.getBBox();
  const middle = new DOMPoint(box.x + box.width / 2, box.y + box.height / 2).matrixTransform(svg.getScreenCTM().inverse().multiply(element.getScreenCTM()));
  if (middle.x < seen.x || middle.x > seen.x + seen.width || middle.y < seen.y || middle.y > seen.y + seen.height)
    move(middle.x - seen.x - seen.width / 2, middle.y - seen.y - seen.height / 2);
});
svg.addEventListener('focusout', () => point(null));
if (feeds) feeds.addEventListener('change', lightFeed);
document.getElementById('larger').addEventListener('click', () => enlarge(1.4));
document.getElementById('smaller').addEventListener('click', () => enlarge(1 / 1.4));
document.getElementById('whole').addEventListener('click', whole);
begin();
