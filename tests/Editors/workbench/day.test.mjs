// A day's work around the text: how the plan stands, its promises as tests, what changed since a revision, sheets, traces, the first steps.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import { part } from './tried.mjs';

const step = part('a day’s work', { file: 'lantern-quay.rig' });

step('has in the status bar what is found, who gives the time, and the rate', async ({ window, festival }) => {
  await window.statusBar(/no faults.*desk.*48 kHz/).waitFor({ timeout: 60_000 });
  await window.goTo(festival.placeOf('inputs.rig', 'radio.air[1]', 'radio.air'));
  await window.page.keyboard.press('Backspace');
  await window.statusBar(/^\s*1\s+desk.*48 kHz/).waitFor();
  await window.page.keyboard.press('Escape');
  await window.revert('inputs.rig');
  await window.statusBar(/no faults/).waitFor();
});

step('tests what the plan promises', async ({ window, festival }) => {
  await window.goTo({ file: 'lantern-quay.rig', line: 1, column: 1 });
  await window.command('PatchLang: Work out the Expectations');
  const promised = ['lantern-quay.rig', 'crew.rig'].map(file => festival.read(file).match(/^expect /gm).length);
  await window.until('that each promise passed', async () => {
    const tests = await window.tests();
    // The two files are in the list, too.
    return tests.length === 2 + promised[0] + promised[1] && tests.every(({ passed }) => passed);
  });
});

step('shows a promise that is broken, as it breaks', async ({ window, festival, picture }) => {
  await window.goTo({ file: 'lantern-quay.rig', line: 1, column: 1 });
  await window.command('PatchLang: Work out the Expectations');
  await window.goTo(festival.placeOf('lantern-quay.rig', 'latency <= 5 ms', 'latency <= 5'));
  await window.page.keyboard.press('Backspace');
  await window.page.keyboard.type('1');
  await window.until('a test that failed', async () => {
    const failed = (await window.tests()).filter(test => test.failed).map(({ says }) => says);
    return failed.length === 2 && /^lantern-quay\.rig/.test(failed[0]) && /^mara_mix latency <= 1 ms/.test(failed[1]);
  });
  await window.editor().locator('.testing-run-glyph[class*="error"], .testing-run-glyph[class*="failed"]').first().waitFor();
  await picture(', broken');
  await window.revert('lantern-quay.rig');
  await window.until('that it holds again', async () => (await window.tests()).every(({ passed }) => passed));
});

step('says what a crew does differently since a revision, and draws it', async ({ window, festival, picture }) => {
  // The soprano's microphone moves.
  const move = (file, from, to) => festival.write(file, festival.read(file).replace(from, to));
  move('inputs.rig', '"Soprano solo" : split.stage[33]', '"Soprano solo" : split.stage[32]');
  move('monitors.rig', 'mon.local[16..17, 22..31, 33]', 'mon.local[16..17, 22..32]');
  assert.equal(festival.git('diff', '--shortstat').trim(), '2 files changed, 2 insertions(+), 2 deletions(-)');
  await window.goTo({ file: 'lantern-quay.rig', line: 1, column: 1 });
  await window.command('PatchLang: Compare with a Git Revision');
  await window.quickRow('as it was last committed').click();
  const page = await window.until('the page of changes', () => window.frameWith('text=/Unplug/'), 60_000);
  assert.match(await page.locator('body').innerText(), /split\.stage\[33\][^]*split\.stage\[32\]/);
  await picture(', the page');
  await window.page.locator('.tab').filter({ hasText: 'What changed since HEAD, drawn' }).click();
  const drawing = await window.until('the drawing of what changed', () => window.frameWith('svg g.box'));
  assert.ok((await drawing.locator('g.box[data-name="rack"]').count()) > 0);
  await picture(', the drawing');
  festival.git('checkout', '--quiet', '--', '.');
  await window.command('View: Close All Editor Groups');
});

step('writes the sheets', async ({ window, festival, picture }) => {
  await window.goTo({ file: 'lantern-quay.rig', line: 1, column: 1 });
  await window.command('PatchLang: Make the Sheets');
  await window.quickRow('a folder beside the plan').click();
  await window.page.getByRole('button', { name: 'Show the Page' }).click({ timeout: 60_000 });
  for (const file of ['sheets.html', 'sheets.xlsx']) assert.ok(fs.existsSync(festival.pathOf(`sheets/${file}`)), file);
  await window.until('the sheets', () => window.frameWith('text=/Soprano solo/'));
  await picture(', the page');
  fs.rmSync(festival.pathOf('sheets'), { recursive: true });
  await window.command('View: Close All Editor Groups');
});

step('traces what is under the cursor', async ({ window, festival, picture }) => {
  await window.goTo(festival.placeOf('inputs.rig', 'desk.ch[41]', 'desk.c'));
  await window.command('PatchLang: Trace from Here');
  await window.tab('Trace of desk.ch[41]').waitFor();
  await window.until('the way to the strip', async () => /radio\.air\[1\]/.test((await window.pieces()).flat().map(({ text }) => text).join('')));
  await picture(', traced');
  await window.command('View: Close All Editor Groups');
});

step('explains a finding', async ({ window, festival }) => {
  await window.goTo(festival.placeOf('inputs.rig', 'radio.air[1]', 'radio.air'));
  await window.page.keyboard.press('Backspace');
  await window.squiggles().first().waitFor();
  await window.page.keyboard.press('Escape');
  await window.command('PatchLang: Explain a Finding');
  await window.until('the page of the finding', () => window.frameWith('text=/PL0201/'), 60_000);
});

step('leads through the first steps', async ({ window }) => {
  await window.command('PatchLang: Show the First Steps');
  await window.page.getByText('Plan a rig with PatchLang').first().waitFor();
  await window.page.getByText('Start with a plan that works').first().waitFor();
});
