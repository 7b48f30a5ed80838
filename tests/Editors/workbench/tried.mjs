// What is tried: steps in a window of the editor. Steps of one part share a window; behind one that failed the next has a new one, on a
// new copy of the plan; behind four nothing more is tried, so that a run ends in time. PICTURES names a folder to keep what was seen in.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import path from 'node:path';
import { after, before, test } from 'node:test';
import { chromium } from 'playwright-core';
import { Festival } from './festival.mjs';
import { serve } from './served.mjs';
import { Workbench } from './workbench.mjs';

const { PICTURES: pictures, EDITOR: installed, VSIX: vsix, CHROMIUM: browserProgram } = process.env;
if (pictures) fs.mkdirSync(pictures, { recursive: true });

let editor, browser;
let steps = 0;
let failures = 0;
let leave = async () => {}; // the window and the plan that are open

before(async () => {
  editor = await serve(installed, vsix, path.join(import.meta.dirname, '../agreement/asker'));
  browser = await chromium.launch({
    executablePath: browserProgram,
    args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage', '--disable-background-networking', '--disable-component-update'],
  });
});
after(async () => {
  await leave();
  await browser?.close();
  editor?.end();
});

/** What the extension wrote into its log. */
export const log = () => editor.log();

/** Sets what the user sets for this machine, and no folder can. */
export const set = values => editor.set(values);

/** The program that came in the package. */
export const program = () => editor.program();

/** What programs keep for the user. */
export const cached = () => editor.cached();

/**
 * One part of what is tried.
 * @param options as `Workbench` has them, and `prepare(festival)`, which changes the copy of the plan before it is opened
 * @returns `step(name, action)`: one thing that has to show. The action has the window, the plan, and `say` for what is to be told.
 */
export function part(name, { prepare, ...options } = {}) {
  let window, festival, say;
  return (title, action) =>
    test(`${name}: ${title}`, { timeout: 180_000 }, async t => {
      const number = String(++steps).padStart(2, '0');
      const picture = async (what = '') => {
        const file = `${number} ${name}, ${title}${what}`.replace(/[^\w ,-]/g, '').replaceAll(' ', '-');
        if (pictures) await window?.picture(path.join(pictures, `${file}.png`));
      };
      say = text => t.diagnostic(text);
      assert.ok(failures < 4, 'not tried: four steps before it failed');
      try {
        if (!window) {
          await leave();
          festival = new Festival();
          leave = async () => {
            await window?.close();
            festival.remove();
            window = undefined;
          };
          await prepare?.(festival);
          window = await Workbench.in(browser, { ...options, say: text => say(text) });
          await window.open(editor.url, festival.folder, options);
        }
        await action({ window, festival, say, picture });
        await picture();
      } catch (error) {
        failures++;
        await picture(', FAILED').catch(() => {});
        for (const line of editor.log().trimEnd().split('\n').slice(-12)) say(`log: ${line}`);
        await leave();
        throw error;
      }
    });
}
