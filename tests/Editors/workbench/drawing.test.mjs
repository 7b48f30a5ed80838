// The drawing beside the text: the picture that `patchlang draw` makes, which follows the text and leads back to it.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import path from 'node:path';
import { part } from './tried.mjs';

const sixtyUnits = path.join(import.meta.dirname, '../../Pictures/sixty-units.rig');
const step = part('the drawing', { file: 'inputs.rig' });

step('opens beside the text, and has all that the sample’s has', async ({ window, festival }) => {
  const drawing = await open(window, festival.placeOf('inputs.rig', 'feed presenter', 'feed pres'));
  const names = /<g class="box[^>]* data-name="([^"]*)"/g;
  const drawn = [...festival.read('lantern-quay.svg').matchAll(names)].map(([, name]) => name).sort();
  assert.ok(drawn.length > 20);
  assert.deepEqual((await drawing.locator('g.box').evaluateAll(boxes => boxes.map(box => box.dataset.name))).sort(), drawn);
  assert.equal(await drawing.locator('#held').isVisible(), false);
});

step('lights the way of the feed under the cursor', async ({ window, festival }) => {
  const drawing = await open(window, festival.placeOf('inputs.rig', 'feed presenter', 'feed pres'));
  await window.goTo(festival.placeOf('inputs.rig', 'feed fiddle', 'feed fid'));
  await window.until('the way of the fiddle', async () => /fiddle/i.test((await drawing.locator('#told').textContent()) ?? ''));
  const lit = await drawing.locator('g.box.lit').evaluateAll(boxes => boxes.map(box => box.dataset.name));
  for (const name of ['split', 'rack', 'desk']) assert.ok(lit.includes(name), `${name} is among ${lit}`);
  assert.ok(!lit.includes('radio'), `the radio receiver is among ${lit}`);
  await window.goTo(festival.placeOf('inputs.rig', 'feed presenter', 'feed pres'));
  await window.until('the way of the presenter', async () => (await drawing.locator('g.box.lit[data-name="radio"]').count()) === 1);
});

step('leads to the line of what is clicked', async ({ window, festival }) => {
  const drawing = await open(window, festival.placeOf('inputs.rig', 'feed presenter', 'feed pres'));
  await drawing.locator('#whole').click();
  const { line } = festival.placeOf('equipment.rig', 'unit recorder');
  await window.again(
    'the line of the recorder',
    () => drawing.locator('g.box[data-name="recorder"]').click({ timeout: 5_000 }),
    async () => (await window.isActive('equipment.rig')) && (await window.position())?.startsWith(`${line}:`)
  );
});

step('leads there by keys, too', async ({ window, festival }) => {
  const drawing = await open(window, festival.placeOf('inputs.rig', 'feed presenter', 'feed pres'));
  const { line } = festival.placeOf('equipment.rig', 'unit loop_amp');
  await window.again(
    'the line of the loop amplifier',
    async () => {
      await drawing.locator('g.box[data-name="loop_amp"]').focus();
      await window.page.keyboard.press('Enter');
    },
    async () => (await window.isActive('equipment.rig')) && (await window.position())?.startsWith(`${line}:`)
  );
});

step('is drawn anew with an edit, and keeps its place and size', async ({ window, festival, picture }) => {
  const drawing = await open(window, festival.placeOf('inputs.rig', 'feed presenter', 'feed pres'));
  await drawing.locator('#larger').click();
  await drawing.locator('#larger').click();
  const scale = () => drawing.locator('#view > svg').evaluate(svg => svg.getScreenCTM().a);
  const before = await scale();
  await window.goTo(festival.placeOf('equipment.rig', '\n\n// ---- what people listen to', ''));
  await window.page.keyboard.press('Enter');
  await window.page.keyboard.insertText('unit spare : Recorder64 "Spare recorder"');
  await drawing.locator('g.box[data-name="spare"]').waitFor({ state: 'attached' });
  assert.ok(Math.abs((await scale()) - before) < 0.01 * before, `it was ${before} and is ${await scale()}`);
  await picture(', with a spare recorder');
  await window.revert('equipment.rig');
  await drawing.locator('g.box[data-name="spare"]').waitFor({ state: 'detached' });
  await drawing.locator('#whole').click();
});

step('stays while the text can’t be made out, and says since which line', async ({ window, festival }) => {
  const drawing = await open(window, festival.placeOf('inputs.rig', 'feed presenter', 'feed pres'));
  const { line } = festival.placeOf('inputs.rig', 'radio.air[1]');
  await window.goTo(festival.placeOf('inputs.rig', 'radio.air[1]', 'radio.air'));
  await window.page.keyboard.press('Backspace');
  await drawing.locator('#held').waitFor();
  assert.match(await drawing.locator('#why').textContent(), new RegExp(`line ${line} of inputs\\.rig: .*called \`ai\``));
  await drawing.locator('g.box[data-name="recorder"]').waitFor();
  await window.page.keyboard.press('Escape');
  await window.revert('inputs.rig');
  await drawing.locator('#held').waitFor({ state: 'hidden' });
});

step('shows one feed’s way, how late and how loud it is, and the clocks', async ({ window, festival, picture }) => {
  const drawing = await open(window, festival.placeOf('inputs.rig', 'feed presenter', 'feed pres'));
  await window.goTo(festival.placeOf('inputs.rig', 'feed lead', 'feed le'));
  await drawing.locator('#tab-feed').click();
  await window.until('the way of the lead vocal', async () => /lead/i.test((await drawing.locator('h1').textContent()) ?? ''));
  const figures = await drawing.locator('#view svg').textContent();
  assert.match(figures, /\d ms/);
  assert.match(figures, /\d dB/);
  await picture(', the way');
  await drawing.locator('#tab-clocks').click();
  await window.until('the clocks', async () => /clock|time/i.test((await drawing.locator('h1').textContent()) ?? ''));
  await picture(', the clocks');
  await drawing.locator('#tab-rig').click();
  await drawing.locator('g.box[data-name="pa"]').waitFor();
});

step('is saved as the very file that patchlang draw makes', async ({ window, festival }) => {
  const drawing = await open(window, festival.placeOf('inputs.rig', 'feed presenter', 'feed pres'));
  fs.rmSync(festival.pathOf('lantern-quay.svg'));
  await window.again('where to save it', () => drawing.locator('#save-svg').click({ timeout: 5_000 }), () => window.quickInput().isVisible());
  await window.page.keyboard.press('Enter');
  await window.until('the file', () => fs.existsSync(festival.pathOf('lantern-quay.svg')) && festival.read('lantern-quay.svg').endsWith('</svg>\n'));
  assert.equal(festival.git('status', '--porcelain', 'lantern-quay.svg'), '');
});

step('follows a dark theme', async ({ window, festival }) => {
  const drawing = await open(window, festival.placeOf('inputs.rig', 'feed presenter', 'feed pres'));
  await window.command('Preferences: Toggle between Light/Dark Themes');
  await drawing.locator('body.vscode-dark #view svg').waitFor();
  await window.until('a dark ground', () => drawing.locator('#view svg').evaluate(svg => getComputedStyle(svg).getPropertyValue('--ink') !== ''));
});

const large = part('the drawing of sixty units', {
  file: 'sixty-units.rig',
  prepare: festival => festival.write('sixty-units.rig', fs.readFileSync(sixtyUnits, 'utf8')),
});

large('is drawn anew with every key', async ({ window, festival, say }) => {
  const place = festival.placeOf('sixty-units.rig', '"Radio van"', '"Radio van');
  const drawing = await open(window, place);
  assert.ok((await drawing.locator('g.box[data-kind="unit"]').count()) >= 60);
  await window.goTo(place);
  await window.page.evaluate(() => document.addEventListener('keydown', () => (window.typed = Date.now()), true));
  await drawing.evaluate(() => new MutationObserver(() => (window.drawn = Date.now())).observe(document.getElementById('view'), { childList: true }));
  const took = [];
  let label = 'Radio van';
  for (const key of 'harbour') {
    label += key;
    await window.page.keyboard.press(key);
    await drawing.locator(`g.box[data-name="van"][aria-label^="${label}"]`).waitFor({ state: 'attached' });
    took.push((await drawing.evaluate(() => window.drawn)) - (await window.page.evaluate(() => window.typed)));
  }
  took.sort((one, other) => one - other);
  say(`took: ${took[3]} ms from a key to the new drawing, of sixty units (the median; ${took[0]} to ${took.at(-1)} ms)`);
});

/** Opens the drawing, unless it is open; returns the frame that it is in. */
async function open(window, place) {
  const shown = () => window.frameWith('#view g.box');
  const there = await shown();
  if (there) return there;
  await window.goTo(place);
  await window.command('PatchLang: Show the Drawing');
  return window.until('the drawing', shown, 60_000);
}
