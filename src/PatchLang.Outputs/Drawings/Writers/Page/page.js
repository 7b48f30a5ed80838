// The page: lighting a way. The drawing is complete without this. Stands behind motion.js in one script.
const view = document.getElementById('view');
const svg = document.getElementById('drawing');
const told = document.getElementById('told');
const feeds = document.getElementById('feed');
const lines = [...svg.querySelectorAll('g.line')];
const boxes = [...svg.querySelectorAll('g.box')];

view.classList.add('live');
document.getElementById('tools').hidden = false;
const motion = motionOf(view);

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

svg.addEventListener('pointerover', event => {
  if (!motion.isHeld()) point(event.target.closest('g.box, g.line'));
});
svg.addEventListener('pointerleave', () => point(document.activeElement.closest('g.box, g.line')));
svg.addEventListener('focusin', event => {
  const element = event.target.closest('g.box, g.line');
  point(element);
  // Whoever moves by keys must see where they are.
  if (element && element.matches(':focus-visible')) motion.bring(element);
});
svg.addEventListener('focusout', () => point(null));
if (feeds) feeds.addEventListener('change', lightFeed);
document.getElementById('larger').addEventListener('click', () => motion.enlarge(1.4));
document.getElementById('smaller').addEventListener('click', () => motion.enlarge(1 / 1.4));
document.getElementById('whole').addEventListener('click', motion.whole);
motion.take(svg);
