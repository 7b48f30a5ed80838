// The README's pictures of the editor, made anew: run.sh PACKAGE.vsix pictures.mjs. They are steps like the others, so that what they
// show is waited for.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import path from 'node:path';
import { part } from './tried.mjs';

const folder = path.join(import.meta.dirname, '../../../editor-extension/images');
const step = part('the README’s pictures', { file: 'inputs.rig', viewport: { width: 1280, height: 760 } });

step('text with a finding', async ({ window, festival }) => {
  await alone(window);
  const place = festival.placeOf('inputs.rig', 'desk.ch[42]', 'desk.ch[42');
  await window.goTo(place);
  await window.page.keyboard.press('Backspace');
  await window.page.keyboard.type('1');
  await window.squiggles().first().waitFor();
  await window.page.keyboard.press('Escape');
  await window.hover('feed guest', 'desk.ch[41]', /PL0306/);
  await keep(window, 'text.png');
  await window.revert('inputs.rig');
});

step('text with its drawing', async ({ window, festival }) => {
  await alone(window);
  await window.goTo(festival.placeOf('inputs.rig', 'feed fiddle', 'feed fiddle'));
  await window.command('PatchLang: Show the Drawing');
  const drawing = await window.until('the drawing', () => window.frameWith('#view g.box.lit'), 60_000);
  await widen(window, 0.3);
  await drawing.locator('#whole').click();
  await drawing.locator('#larger').click();
  await window.goTo(festival.placeOf('inputs.rig', 'feed fiddle', 'feed fiddle'));
  await drawing.locator('g.box.lit[data-name="split"]').waitFor();
  await keep(window, 'drawing.png');
});

/** Leaves nothing in sight but the text and what is around it at the foot. */
async function alone(window) {
  await window.page.mouse.move(0, 0);
  if (await window.page.locator('.part.sidebar').isVisible()) await window.command('View: Toggle Primary Side Bar Visibility');
  await window.page.locator('.part.sidebar').waitFor({ state: 'hidden' });
}

/** Moves the border between the text and what stands beside it, so that the text has a share of the width. */
async function widen(window, share) {
  const { width } = window.page.viewportSize();
  const border = await window.page.locator('.editor-group-container').nth(1).boundingBox();
  await window.page.mouse.move(border.x, border.y + 300);
  await window.page.mouse.down();
  await window.page.mouse.move(width * share, border.y + 300, { steps: 8 });
  await window.page.mouse.up();
  await window.until('that the drawing is wider', async () => (await window.page.locator('.editor-group-container').nth(1).boundingBox()).x < width * (share + 0.05));
  await window.page.mouse.move(0, 0);
}

async function keep(window, name) {
  fs.mkdirSync(folder, { recursive: true });
  const file = path.join(folder, name);
  await window.picture(file);
  assert.ok(fs.statSync(file).size < 300_000, `${name} is ${fs.statSync(file).size} bytes`);
}
