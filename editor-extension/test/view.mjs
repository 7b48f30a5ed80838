// The view as the editor has it: its page with its policy, in a browser, beside an editor of the test's own that keeps what it is told.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import { createRequire } from 'node:module';
import { after, before } from 'node:test';
import { chromium } from 'playwright-core';
import { load } from './typescript.mjs';

const origin = 'https://view.invalid';
const axe = fs.readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const { pageOf } = await load('drawing/page.ts');
const dist = name => fs.readFileSync(new URL(`../dist/${name}`, import.meta.url), 'utf8');

/** What the editor says of its themes: a class, and a few of its colours. */
export const themes = {
  light: { classes: 'vscode-light', colours: { 'editor-background': '#ffffff', foreground: '#3b3b3b', focusBorder: '#005fb8', 'panel-border': '#e5e5e5', 'dropdown-background': '#ffffff', 'dropdown-foreground': '#3b3b3b' } },
  dark: { classes: 'vscode-dark', colours: { 'editor-background': '#1f1f1f', foreground: '#cccccc', focusBorder: '#0078d4', 'panel-border': '#2b2b2b', 'dropdown-background': '#313131', 'dropdown-foreground': '#cccccc' } },
  stark: { classes: 'vscode-high-contrast', colours: { 'editor-background': '#000000', foreground: '#ffffff', focusBorder: '#f38518', contrastBorder: '#6fc3df', contrastActiveBorder: '#f38518', 'dropdown-background': '#000000', 'dropdown-foreground': '#ffffff' } },
  starkLight: { classes: 'vscode-high-contrast vscode-high-contrast-light', colours: { 'editor-background': '#ffffff', foreground: '#292929', focusBorder: '#006bbd', contrastBorder: '#0f4a85', 'dropdown-background': '#ffffff', 'dropdown-foreground': '#292929' } },
};

let browser;
before(async () => {
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage', '--disable-background-networking', '--disable-component-update'],
  });
});
after(() => browser?.close());

/** Opens the view, does something, and holds that nothing went wrong in it, that its policy was kept, and that it asked for nothing else. */
export async function inView({ theme = themes.light, kept, viewport = { width: 900, height: 700 } }, action) {
  const context = await browser.newContext({ viewport });
  const page = await context.newPage();
  const wrong = [];
  page.on('pageerror', error => wrong.push(String(error)));
  page.on('console', message => message.type() === 'error' && wrong.push(message.text()));
  await page.route('**/*', route => {
    const path = new URL(route.request().url()).pathname;
    if (path === '/') return route.fulfill({ contentType: 'text/html', body: pageOf({ script: `${origin}/view.js`, style: `${origin}/view.css`, source: origin, nonce: 'bm9uY2U' }) });
    if (path === '/view.js' || path === '/view.css') return route.fulfill({ contentType: path.endsWith('.js') ? 'text/javascript' : 'text/css', body: dist(path.slice(1)) });
    wrong.push(`asked for ${route.request().url()}`);
    return route.abort();
  });
  await page.addInitScript(
    ({ theme, kept }) => {
      const heard = [];
      globalThis.heard = heard;
      globalThis.kept = kept;
      globalThis.acquireVsCodeApi = () => ({ postMessage: message => heard.push(message), getState: () => globalThis.kept, setState: state => (globalThis.kept = state) });
      globalThis.dress = ({ classes, colours }) => {
        document.body.className = classes;
        for (const [name, colour] of Object.entries(colours)) document.documentElement.style.setProperty(`--vscode-${name}`, colour);
      };
      document.addEventListener('DOMContentLoaded', () => globalThis.dress(theme));
      document.addEventListener('securitypolicyviolation', event => console.error(`against the policy: ${event.violatedDirective} ${event.blockedURI}`));
    },
    { theme, kept }
  );
  await page.goto(`${origin}/`);
  await action({
    page,
    /** Says something to the view, and waits until it is taken in. */
    say: message => page.evaluate(async said => {
      const taken = new Promise(done => window.addEventListener('message', () => requestAnimationFrame(done), { once: true }));
      window.postMessage(said, '*');
      await taken;
    }, message),
    /** What the view said, of one type. */
    heard: type => page.evaluate(wanted => globalThis.heard.filter(message => message.type === wanted), type),
    kept: () => page.evaluate(() => globalThis.kept),
    seen: () => page.locator('#drawing').getAttribute('viewBox'),
    dress: to => page.evaluate(given => globalThis.dress(given), to),
    /** The faults of access that axe knows, a line for each rule. */
    faults: async () => {
      // The policy lets no script of a test run either: axe is evaluated by the browser's own debugger.
      await page.evaluate(axe);
      const { violations } = await page.evaluate(() => globalThis.axe.run());
      return violations.map(v => `${v.id}: ${v.help}: ${v.nodes[0].html.slice(0, 200)}`);
    },
  });
  await context.close();
  assert.deepEqual(wrong, []);
}

/** A picture as the extension hands it on. */
export function pictureOf(result, more = {}) {
  return {
    type: 'picture',
    state: { document: 'file:///quay.rig', plan: result.plan, kind: result.kind, of: result.of, act: result.act },
    title: result.title,
    acts: result.acts,
    svg: result.svg,
    style: result.style,
    links: result.things.map(thing => thing.id),
    ids: result.lit.ids,
    words: result.lit.words,
    ...more,
  };
}
