// The view beside the editor: the server's drawing of the plan, which follows the cursor and leads back to it.
import type { FromView, ToView, ViewState } from '../drawing/messages';
import { kinds, type Kind } from '../drawing/requests';
import type { Seen } from '../../../src/PatchLang.Outputs/Drawings/Writers/Page/motion.js';
import { fits } from './ground';
import { Picture } from './picture';
import { pixelsOf } from './pixels';

/** What outlives the page: what is drawn, and what of it was seen. */
interface Kept {
  readonly state: ViewState;
  readonly seen?: { readonly of: string; readonly at: Seen };
}

declare function acquireVsCodeApi(): { postMessage(message: FromView): void; getState(): Kept | undefined; setState(state: Kept): void };

const editor = acquireVsCodeApi();
const element = <T extends HTMLElement>(id: string) => document.getElementById(id) as T;
const [view, told, held, why, none] = [element('view'), element('told'), element('held'), element('why'), element('none')];
const act = element<HTMLSelectElement>('act');

let kept: Kept = editor.getState() ?? { state: { kind: 'rig' } };
const picture = new Picture(
  view,
  id => editor.postMessage({ type: 'go', id }),
  at => keep({ ...kept, seen: at && { of: subjectOf(kept.state), at } })
);

function keep(next: Kept): void {
  kept = next;
  editor.setState(kept);
}

/** Two pictures of one subject are looked at in the same place. */
function subjectOf({ plan, kind, act: during, of }: ViewState): string {
  return JSON.stringify([plan, kind, during, kind === 'feed' ? of : undefined]);
}

function show(message: Extract<ToView, { type: 'picture' }>): void {
  const goesOn = picture.isShown && subjectOf(message.state) === subjectOf(kept.state);
  // A page that was just made goes on where the one before it was left.
  const at = !picture.isShown && kept.seen?.of === subjectOf(message.state) ? kept.seen.at : undefined;
  keep({ ...kept, state: message.state });
  none.hidden = held.hidden = true;
  showChoice(message.state);
  showActs(message.acts, message.state.act);
  picture.show(message.svg, message.style, message.links, goesOn, at);
  element('heading').textContent = message.title;
  ground();
  light(message.ids, message.words);
}

function light(ids: readonly string[], words: string): void {
  picture.light(ids);
  // What is read out is what changed.
  if (told.textContent !== words) told.textContent = words;
}

function showChoice({ kind }: ViewState): void {
  for (const each of kinds) {
    const tab = element(`tab-${each}`);
    tab.setAttribute('aria-selected', String(each === kind));
    tab.tabIndex = each === kind ? 0 : -1;
  }
  view.setAttribute('aria-labelledby', `tab-${kind}`);
}

function showActs(acts: readonly { readonly name: string; readonly title: string }[], chosen = ''): void {
  element('during').hidden = acts.length === 0;
  const wanted = [{ name: '', title: 'all acts' }, ...acts];
  if (wanted.length !== act.options.length || wanted.some(({ name, title }, i) => act.options[i]!.value !== name || act.options[i]!.text !== title))
    act.replaceChildren(...wanted.map(({ name, title }) => new Option(title, name)));
  act.value = chosen;
}

function choose(kind: Kind, during = kept.state.act): void {
  showChoice({ kind });
  editor.postMessage({ type: 'choose', kind, act: during || undefined });
}

/** The editor says by classes what its theme is. */
function ground(): void {
  const classes = document.body.classList;
  const isLight = classes.contains('vscode-light') || classes.contains('vscode-high-contrast-light');
  classes.toggle('on-dark', !isLight);
  classes.toggle('stark', classes.contains('vscode-high-contrast') || classes.contains('vscode-high-contrast-light'));
  const svg = view.firstElementChild;
  if (!svg) return;
  const its = getComputedStyle(svg);
  const inks = ['--ink', '--quiet', '--analog', '--digital', '--network', '--time', '--inside', '--mark'].map(name => its.getPropertyValue(name));
  classes.toggle('on-own-ground', !fits(getComputedStyle(document.body).backgroundColor, inks));
}

const messages: { [M in ToView as M['type']]: (message: M) => void } = {
  picture: show,
  lit: ({ ids, words }) => {
    light(ids, words);
    // The cursor leads; an edit does not.
    picture.bring();
  },
  none: ({ state, words }) => {
    keep({ ...kept, state });
    showChoice(state);
    picture.clear();
    held.hidden = true;
    none.hidden = false;
    none.textContent = words;
    light([], '');
  },
  held: ({ words }) => {
    if (why.textContent !== words) why.textContent = words;
    held.hidden = false;
  },
  pixels: async ({ svg }) => {
    try {
      editor.postMessage({ type: 'pixels', png: await pixelsOf(svg) });
    } catch (error) {
      editor.postMessage({ type: 'pixels', problem: error instanceof Error ? error.message : String(error) });
    }
  },
};

window.addEventListener('message', ({ data }: MessageEvent<ToView>) => {
  (messages[data.type] as ((message: ToView) => void) | undefined)?.(data);
});

for (const [i, kind] of kinds.entries()) {
  const tab = element(`tab-${kind}`);
  tab.addEventListener('click', () => choose(kind));
  tab.addEventListener('keydown', ({ key }) => {
    const next = { ArrowRight: i + 1, ArrowLeft: i + kinds.length - 1, Home: 0, End: kinds.length - 1 }[key];
    if (next === undefined) return;
    const to = kinds[next % kinds.length]!;
    element(`tab-${to}`).focus();
    choose(to);
  });
}
act.addEventListener('change', () => choose(kept.state.kind, act.value));
element('larger').addEventListener('click', () => picture.enlarge(1.4));
element('smaller').addEventListener('click', () => picture.enlarge(1 / 1.4));
element('whole').addEventListener('click', () => picture.whole());
element('save-svg').addEventListener('click', () => editor.postMessage({ type: 'save', format: 'svg' }));
element('save-png').addEventListener('click', () => editor.postMessage({ type: 'save', format: 'png' }));
element('go-to-trouble').addEventListener('click', () => editor.postMessage({ type: 'goToTrouble' }));
element('draw').addEventListener('click', () => editor.postMessage({ type: 'draw' }));
new MutationObserver(ground).observe(document.body, { attributes: true, attributeFilter: ['class'] });
ground();
editor.postMessage({ type: 'ready', state: kept.state });
