// What is tried: steps in a window of the editor. Steps of one part share a window; behind one that failed the next has a new one, on a
// new copy of the plan; behind two the part is given up, so that a run ends in time. PICTURES names a folder to keep what was seen in.
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

before(async () => {
  editor = await serve(installed, vsix);
  browser = await chromium.launch({
    executablePath: browserProgram,
    args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage', '--disable-background-networking', '--disable-component-update'],
  });
});
after(async () => {
  await browser?.close();
  editor?.end();
});

/** What the extension wrote into its log. */
export const log = () => editor.log();

/**
 * One part of what is tried.
 * @param options as `Workbench.open` has them, and `prepare(festival)`, which changes the copy of the plan before it is opened
 * @returns `step(name, action)`: one thing that has to show. The action has the window, the plan, and `say` for what is to be told.
 */
export function part(name, { prepare, ...options } = {}) {
  let window, festival, say;
  let failures = 0; // one after the other
  const leave = async () => {
    await window?.close();
    festival?.remove();
    window = festival = undefined;
  };
  after(leave);
  return (title, action) =>
    test(`${name}: ${title}`, { timeout: 180_000 }, async t => {
      const number = String(++steps).padStart(2, '0');
      const picture = async (what = '') => {
        const file = `${number} ${name}, ${title}${what}`.replace(/[^\w ,-]/g, '').replaceAll(' ', '-');
        if (pictures) await window?.picture(path.join(pictures, `${file}.png`));
      };
      say = text => t.diagnostic(text);
      assert.ok(failures < 2, 'not tried: the two steps before it failed');
      try {
        if (!window) {
          festival = new Festival();
          await prepare?.(festival);
          window = await Workbench.open(browser, editor.url, festival.folder, { ...options, say: text => say(text) });
        }
        await action({ window, festival, say, picture });
        await picture();
        failures = 0;
      } catch (error) {
        failures++;
        await picture(', FAILED').catch(() => {});
        for (const line of editor.log().trimEnd().split('\n').slice(-12)) say(`log: ${line}`);
        await leave();
        throw error;
      }
    });
}
