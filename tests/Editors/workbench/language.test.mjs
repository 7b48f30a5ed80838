// The text of a plan in the editor: colours, findings as they are typed and their mends, completion, renaming.
import assert from 'node:assert/strict';
import { log, part } from './tried.mjs';

const step = part('the text', { file: 'inputs.rig' });

step('has colours: words, names, texts, numbers and remarks differ', async ({ window }) => {
  const coloured = await window.until(
    'five colours',
    async () => {
      const pieces = (await window.pieces()).flat();
      const colourOf = pattern => pieces.find(({ text }) => pattern.test(text.trim()))?.colour;
      const colours = [/^feed$/, /^presenter$/, /^"?Presenter"?$/, /^41$/, /^\/\/ /].map(colourOf);
      return colours.every(Boolean) && new Set(colours).size === 5 && colours;
    },
    60_000
  );
  assert.equal(coloured.length, 5);
});

step('is checked by the program that came in the package', async ({ window, say }) => {
  await window.statusBar('PatchLang').waitFor({ timeout: 60_000 });
  const started = await window.until('the start of the server in the log', () => /starting (\S+) serve \(found by extension\)/.exec(log()), 60_000);
  assert.match(started[1], /extensions\/patchlang\.patchlang-[^/]*\/server\/patchlang$/);
  const [activation] = /activated in .*/.exec(log());
  const [start] = await window.until('the server’s answer in the log', () => /the server answered after .*/.exec(log()));
  say(`took: ${activation}; ${start}`);
});

step('tells of the feed under the pointer', async ({ window }) => {
  const told = await window.hover('feed presenter', 'presenter', /Presenter/);
  assert.match(told, /radio\.air\[1\]/);
  assert.match(told, /sound is at desk\.ch\[41\] after/);
  assert.equal(await window.squiggles().count(), 0);
});

step('underlines an error as it is typed, and says what is wrong', async ({ window, festival, say }) => {
  say(`took: ${await typeError(window, festival)} ms from a key to the finding on the screen`);
  const listed = await window.until('the finding in the list', async () => (await window.problems()).find(row => row.includes('PL0201')));
  assert.match(listed, /has no socket, strip or bus called `ai`/);
  const told = await window.hover('feed presenter', 'ai[', /PL0201/);
  assert.match(told, /did you mean .?air/);
  await window.revert('inputs.rig');
});

step('mends an error when asked to', async ({ window, festival, picture }) => {
  await typeError(window, festival);
  await window.mend('write `air`', async () => (await window.squiggles().count()) === 0, () => picture(', offered'));
  await window.save();
  assert.equal(festival.git('status', '--porcelain'), '');
});

step('offers the channels that are free, and none that is not', async ({ window, festival, picture }) => {
  await window.goTo(festival.placeOf('inputs.rig', '\n\n// ---- The Tide Band', '\n'));
  await window.page.keyboard.type('feed spare : radio.air[');
  const offered = await window.offered(all => all.some(label => /free/.test(label)));
  await picture(', offered');
  // The radio receiver has four, of which the presenter and the guest have one each.
  assert.deepEqual(offered.flatMap(label => /^\d+/.exec(label) ?? []), ['3', '4']);
  await window.page.keyboard.press('Escape');
  await window.revert('inputs.rig');
});

step('gives a thing another name in every file', async ({ window, festival, picture }) => {
  await window.goTo(festival.placeOf('inputs.rig', 'feed stage_talk', 'feed stage'));
  const name = window.page.locator('.rename-box input');
  await window.again('the box for the new name', () => window.page.keyboard.press('F2'), () => name.isVisible());
  await name.fill('stage_call');
  await picture(', asked');
  await window.page.keyboard.press('Enter');
  await window.until('the new name in four files', () => {
    const changed = festival.git('diff', '--name-only').trim().split('\n');
    return changed.length === 4 && changed.every(file => festival.read(file).includes('stage_call') && !/\bstage_talk\b/.test(festival.read(file)));
  });
  assert.equal(await window.squiggles().count(), 0);
});

step('asks for nothing from outside of this machine', async ({ window }) => {
  assert.match([...window.asked].join(' '), /^127\.0\.0\.1:\d+$/);
});

/** Types an error, with the cursor at it; returns after how many milliseconds it is underlined. */
async function typeError(window, festival) {
  await window.goTo(festival.placeOf('inputs.rig', 'radio.air[1]', 'radio.air'));
  const typed = Date.now();
  await window.page.keyboard.press('Backspace');
  await window.squiggles().first().waitFor();
  const took = Date.now() - typed;
  await window.page.keyboard.press('Escape'); // what offers itself for the half of a name
  return took;
}
