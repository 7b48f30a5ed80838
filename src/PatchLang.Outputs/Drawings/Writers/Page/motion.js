// Moving and enlarging a drawing with mouse, touch, wheel and keys: for the page that `patchlang draw` writes and for the editor's view.

/**
 * What of a drawing is seen, in its own measure.
 * @typedef {{ x: number, y: number, width: number, height: number }} Seen
 */

/**
 * Lets a drawing be moved about in an element.
 * @param {HTMLElement} view What it is seen through.
 * @param {(seen: Seen) => void} [told] Told of every move.
 */
export function motionOf(view, told = () => {}) {
  /** @type {SVGSVGElement} */
  let svg;
  /** @type {Seen} */
  let full = { x: 0, y: 0, width: 1, height: 1 };
  /** @type {Seen} */
  let seen = { ...full };
  /** @type {Map<number, PointerEvent>} */
  const pointers = new Map();
  let hasMoved = false;

  function show() {
    svg.setAttribute('viewBox', `${seen.x} ${seen.y} ${seen.width} ${seen.height}`);
    told({ ...seen });
  }

  /**
   * Takes a drawing, whose own `viewBox` is all of it.
   * @param {SVGSVGElement} drawing
   * @param {Seen} [at] What of it is seen; without, as much as can be read.
   */
  function take(drawing, at) {
    svg = drawing;
    const [x = 0, y = 0, width = 1, height = 1] = (svg.getAttribute('viewBox') ?? '').split(' ').map(Number);
    full = { x, y, width, height };
    if (at) seen = { ...at };
    else begin();
    show();
  }

  /**
   * Looks at a part of it.
   * @param {Seen} at
   */
  function look(at) {
    seen = { ...at };
    show();
  }

  // Where all of it would be too small to read, the first look is at its beginning, at a size that can be read.
  function begin() {
    seen = { ...full };
    const scale = Math.min(view.clientWidth / full.width, view.clientHeight / full.height);
    if (scale > 0.45 || view.clientWidth === 0) return;
    const width = view.clientWidth / 0.6;
    const height = view.clientHeight / 0.6;
    const [sources] = [...svg.querySelectorAll('g.box')].map(box => /** @type {SVGGElement} */ (box).getBBox()).sort((one, other) => one.x - other.x);
    const middle = sources ? sources.y + sources.height / 2 : full.height / 2;
    seen = { x: 0, y: Math.max(0, Math.min(full.height - height, middle - height / 2)), width, height };
  }

  function enlarge(/** @type {number} */ factor, x = seen.x + seen.width / 2, y = seen.y + seen.height / 2) {
    const size = Math.min(full.width * 2, Math.max(full.width / 40, seen.width / factor)) / seen.width;
    seen.x = x - (x - seen.x) * size;
    seen.y = y - (y - seen.y) * size;
    seen.width *= size;
    seen.height *= size;
    show();
  }

  function move(/** @type {number} */ right, /** @type {number} */ down) {
    seen.x = Math.min(full.width, Math.max(-seen.width, seen.x + right));
    seen.y = Math.min(full.height, Math.max(-seen.height, seen.y + down));
    show();
  }

  function whole() {
    seen = { ...full };
    show();
  }

  function isWhole() {
    return seen.x === full.x && seen.y === full.y && seen.width === full.width && seen.height === full.height;
  }

  /**
   * The middle of a thing, in the drawing's measure.
   * @param {SVGGraphicsElement} element
   */
  function middleOf(element) {
    const box = element.getBBox();
    const within = /** @type {DOMMatrix} */ (svg.getScreenCTM()).inverse().multiply(/** @type {DOMMatrix} */ (element.getScreenCTM()));
    return new DOMPoint(box.x + box.width / 2, box.y + box.height / 2).matrixTransform(within);
  }

  /**
   * Brings the first of some things into sight, if none of them is.
   * @param {SVGGraphicsElement[]} elements
   */
  function bring(...elements) {
    const middles = elements.map(middleOf);
    const [first] = middles;
    if (!first || middles.some(({ x, y }) => x >= seen.x && x <= seen.x + seen.width && y >= seen.y && y <= seen.y + seen.height)) return;
    move(first.x - seen.x - seen.width / 2, first.y - seen.y - seen.height / 2);
  }

  /**
   * A place on the screen as a place in the drawing.
   * @param {MouseEvent} event
   * @returns {[number, number]}
   */
  function placeOf(event) {
    const place = new DOMPoint(event.clientX, event.clientY).matrixTransform(/** @type {DOMMatrix} */ (svg.getScreenCTM()).inverse());
    return [place.x, place.y];
  }

  view.addEventListener('pointerdown', event => {
    pointers.set(event.pointerId, event);
    hasMoved = false;
  });
  view.addEventListener('pointermove', event => {
    const before = pointers.get(event.pointerId);
    if (!before || !svg) return;
    const scale = /** @type {DOMMatrix} */ (svg.getScreenCTM()).a;
    const other = [...pointers.values()].find(each => each.pointerId !== event.pointerId);
    if (other) {
      const distance = (/** @type {PointerEvent} */ at) => Math.hypot(at.clientX - other.clientX, at.clientY - other.clientY);
      enlarge(distance(event) / Math.max(1, distance(before)), ...placeOf(other));
    } else if (hasMoved || Math.hypot(event.clientX - before.clientX, event.clientY - before.clientY) > 3) {
      hasMoved = true;
      view.setPointerCapture(event.pointerId);
      move((before.clientX - event.clientX) / scale, (before.clientY - event.clientY) / scale);
    } else return;
    pointers.set(event.pointerId, event);
  });
  for (const end of /** @type {const} */ (['pointerup', 'pointercancel'])) view.addEventListener(end, event => pointers.delete(event.pointerId));
  view.addEventListener('wheel', event => {
    event.preventDefault();
    // Fingers that spread on a touchpad come as a wheel that is held with a key, and turns little.
    if (svg) enlarge(Math.exp(-event.deltaY * (event.ctrlKey ? 0.01 : 0.0015)), ...placeOf(event));
  }, { passive: false });
  view.addEventListener('keydown', event => {
    const step = seen.width / 10;
    /** @type {Record<string, () => void>} */
    const keys = {
      ArrowLeft: () => move(-step, 0),
      ArrowRight: () => move(step, 0),
      ArrowUp: () => move(0, -step),
      ArrowDown: () => move(0, step),
      '+': () => enlarge(1.25),
      '=': () => enlarge(1.25),
      '-': () => enlarge(0.8),
      0: whole,
      // From a thing back to the drawing, and from there away.
      Escape: () => (document.activeElement === view ? view.blur() : view.focus()),
    };
    const does = keys[event.key];
    if (!svg || !does || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    does();
  });

  return {
    take, look, enlarge, whole, isWhole, middleOf, bring,
    /** What is seen. */
    seen: () => ({ ...seen }),
    /** Whether a mouse button or a finger is down. */
    isHeld: () => pointers.size > 0,
    /** Whether the last press moved the drawing, so that its end is no click. */
    hasMoved: () => hasMoved,
  };
}
