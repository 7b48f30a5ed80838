// The picture in the view: put in the place of the one before without losing what the user looks at, and lit.
import { motionOf, type Seen } from '../../../src/PatchLang.Outputs/Drawings/Writers/Page/motion.js';

const things = 'g.box, g.line';

/** What a thing is in any picture of the plan; numbers change with every edit. */
function keyOf(thing: Element): string {
  const { kind, name, from, to } = (thing as SVGElement).dataset;
  return kind === 'line' ? `${from} > ${to}` : `${kind} ${name}`;
}

/** What a link is called begins with what it is, and has all that is written in it, so that it can be called by what is seen. */
function nameOf(thing: Element): string {
  const written = [...thing.querySelectorAll('text')].map(text => text.textContent).join(', ');
  if (!thing.classList.contains('line')) return written;
  const [ends] = (thing.getAttribute('aria-label') ?? '').split(': ');
  return written ? `${ends}: ${written}` : `${ends}`;
}

export class Picture {
  private readonly sheet = new CSSStyleSheet();
  private readonly motion;
  private svg: SVGSVGElement | undefined;
  private source = '';
  private style = '';
  private lit: readonly Element[] = [];

  /**
   * @param view What it is seen through.
   * @param go Leads to the line of a thing.
   * @param moved Told of what is seen.
   */
  constructor(
    private readonly view: HTMLElement,
    go: (id: string) => void,
    moved: (seen: Seen | undefined) => void
  ) {
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, this.sheet];
    this.motion = motionOf(view, seen => moved(this.motion.isWhole() ? undefined : seen));
    const thingOf = (event: Event) => (event.target as Element).closest<SVGGraphicsElement>('[role="link"]');
    view.addEventListener('click', event => {
      const thing = thingOf(event);
      if (thing && !this.motion.hasMoved()) go(thing.id);
    });
    view.addEventListener('keydown', event => {
      const thing = event.key === 'Enter' ? thingOf(event) : null;
      if (thing) go(thing.id);
    });
    view.addEventListener('focusin', event => {
      const thing = (event.target as Element).closest<SVGGraphicsElement>(things);
      if (thing?.matches(':focus-visible')) this.motion.bring(thing);
    });
  }

  get isShown(): boolean {
    return this.svg !== undefined;
  }

  /**
   * Shows a picture.
   * @param source The picture.
   * @param style Its style sheet.
   * @param links The things that lead to a line.
   * @param at What of it is seen; without, it goes on from the picture before, if `goesOn`.
   */
  show(source: string, style: string, links: readonly string[], goesOn: boolean, at?: Seen): void {
    if (style !== this.style) this.sheet.replaceSync((this.style = style));
    if (source === this.source && this.svg && !at) return;
    const parsed = new DOMParser().parseFromString(source, 'image/svg+xml').documentElement;
    if (parsed.nodeName !== 'svg') throw new Error('what came is no picture');
    const svg = document.importNode(parsed, true) as Element as SVGSVGElement;
    const leads = new Set(links);
    for (const thing of svg.querySelectorAll(things))
      if (leads.has(thing.id)) {
        thing.setAttribute('role', 'link');
        thing.setAttribute('aria-label', nameOf(thing));
      }
    const before = goesOn ? this.svg : undefined;
    const focused = this.svg?.contains(document.activeElement) ? keyOf(document.activeElement!) : undefined;
    const anchor = before && this.anchorOf(before);
    const wasWhole = this.motion.isWhole();
    this.view.replaceChildren(svg);
    this.svg = svg;
    this.source = source;
    this.lit = [];
    if (before && wasWhole) {
      this.motion.take(svg);
      this.motion.whole();
    } else if (before) {
      const seen = this.motion.seen();
      this.motion.take(svg, seen);
      const same = anchor && this.find(anchor.key);
      if (same) {
        const { x, y } = this.motion.middleOf(same);
        this.motion.look({ ...seen, x: seen.x + x - anchor.x, y: seen.y + y - anchor.y });
      }
    } else this.motion.take(svg, at);
    if (focused) (this.find(focused) ?? this.view).focus({ preventScroll: true });
  }

  /** Shows nothing. */
  clear(): void {
    this.view.replaceChildren();
    this.svg = undefined;
    this.source = '';
    this.lit = [];
  }

  /** Brings what is lit into sight, if nothing of it is. */
  bring(): void {
    this.motion.bring(...(this.lit.filter(thing => thing.matches('g.box')) as SVGGraphicsElement[]));
  }

  /** Lights things, and no others. */
  light(ids: readonly string[]): void {
    for (const thing of this.lit) thing.classList.remove('lit');
    this.lit = ids.flatMap(id => this.svg?.querySelector(`#${CSS.escape(id)}`) ?? []);
    for (const thing of this.lit) thing.classList.add('lit');
    this.svg?.classList.toggle('following', this.lit.length > 0);
  }

  enlarge(factor: number): void {
    if (this.svg) this.motion.enlarge(factor);
  }

  whole(): void {
    if (this.svg) this.motion.whole();
  }

  private find(key: string): SVGGraphicsElement | undefined {
    for (const thing of this.svg!.querySelectorAll<SVGGraphicsElement>(things)) if (keyOf(thing) === key) return thing;
    return undefined;
  }

  /** What the user looks at: what has the focus, else the box that is nearest to the middle. */
  private anchorOf(svg: SVGSVGElement): { key: string; x: number; y: number } | undefined {
    const focused = document.activeElement?.closest<SVGGraphicsElement>('g.box');
    const seen = this.motion.seen();
    const [x, y] = [seen.x + seen.width / 2, seen.y + seen.height / 2];
    let nearest: { key: string; x: number; y: number; distance: number } | undefined;
    for (const box of focused && svg.contains(focused) ? [focused] : svg.querySelectorAll<SVGGraphicsElement>('g.box')) {
      const middle = this.motion.middleOf(box);
      const distance = Math.hypot(middle.x - x, middle.y - y);
      if (!nearest || distance < nearest.distance) nearest = { key: keyOf(box), x: middle.x, y: middle.y, distance };
    }
    return nearest;
  }
}
