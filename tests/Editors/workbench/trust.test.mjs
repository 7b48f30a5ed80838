// A folder that nobody vouches for: its plans are read and checked, and nothing that lies in it is run, whatever its settings say.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import { cached, log, part, set } from './tried.mjs';

const step = part('a folder that is not trusted', { file: 'inputs.rig', trusted: false, prepare: baited });

step('has its plans checked, by the program that came in the package', async ({ window, festival }) => {
  await window.page.locator('.statusbar-item').filter({ hasText: 'Restricted Mode' }).waitFor();
  const before = log().length;
  await window.goTo(festival.placeOf('inputs.rig', 'radio.air[1]', 'radio.air'));
  await window.page.keyboard.press('Backspace');
  await window.squiggles().first().waitFor({ timeout: 60_000 });
  await window.page.keyboard.press('Escape');
  assert.match(log(), /starting .*\/server\/patchlang serve \(found by extension\)\s/);
  assert.doesNotMatch(log().slice(before), /found by setting/);
  await window.revert('inputs.rig');
});

step('has nothing written into it, and no git asked about it', async ({ window, festival }) => {
  for (const command of ['Make the Sheets', 'Compare with a Git Revision']) {
    await window.goTo({ file: 'inputs.rig', line: 1, column: 1 });
    await window.command(`PatchLang: ${command}`);
    await window.page.locator('.notification-list-item').filter({ hasText: 'This folder is not trusted' }).first().waitFor();
    await window.command('Notifications: Clear All Notifications');
    await window.page.locator('.notification-list-item').first().waitFor({ state: 'hidden' });
  }
  assert.equal(festival.git('status', '--porcelain'), '');
});

step('runs nothing of its own, not even with the house rules turned on', async ({ window, festival }) => {
  // A finding of the text, behind which one of a rule would come.
  await window.goTo(festival.placeOf('inputs.rig', 'radio.air[1]', 'radio.air'));
  await window.page.keyboard.press('Backspace');
  await window.until('the finding in the list', async () => (await window.problems()).some(row => row.includes('PL0201')));
  await window.page.keyboard.press('Escape');
  await window.revert('inputs.rig');
  await window.until('an empty list', async () => (await window.problems()).length === 0);
  assert.equal(fs.existsSync(festival.pathOf('tools/ran')), false);
  assert.deepEqual(cached().filter(isOfScripts), []);
});

step('runs what its settings name as soon as it is trusted', async ({ window, festival }) => {
  await trust(window);
  await window.until('that the program of the folder ran', () => fs.existsSync(festival.pathOf('tools/ran')));
  await window.until('that it answers', () => /starting .*tools\/patchlang serve \(found by setting\)/.test(log()));
});

step('has its rules run then, too, until they are turned off', async ({ window, picture }) => {
  await trust(window);
  const isOfRule = row => /the house listens to the click.*PL1202/.test(row);
  await window.until('what the rule found', async () => (await window.problems()).some(isOfRule), 60_000);
  // So the step before looked for the right thing.
  assert.notDeepEqual(cached().filter(isOfScripts), []);
  await window.statusBar(/^\s*1\s+desk.*48 kHz/).waitFor(); // which counts it, too
  await picture(', found');
  set({ 'patchlang.rules': 'off' });
  await window.until('a list without it', async () => !(await window.problems()).some(isOfRule));
});

/** Says that the folder is trusted, unless it is. */
async function trust(window) {
  if (!(await window.page.locator('.statusbar-item').filter({ hasText: 'Restricted Mode' }).isVisible())) return;
  await window.command('Workspaces: Manage Workspace Trust');
  const page = window.page.locator('.workspace-trust-editor');
  await page.getByRole('button', { name: 'Trust', exact: true }).first().click();
  await page.getByText('You trust this folder').waitFor();
  await window.page.locator('.modal-editor-part').getByRole('button', { name: /^Close/ }).first().click();
  await page.waitFor({ state: 'hidden' });
}

/**
 * Puts a program into the folder that says that it ran, and a setting that names it as the server; and a rule. The user has rules
 * turned on all the while, so that there is time for one to run.
 */
async function baited(festival) {
  set({ 'patchlang.rules': 'on' });
  festival.write('tools/patchlang', '#!/bin/sh\ntouch "$(dirname "$0")/ran"\nexec "$HOME"/extensions/patchlang.patchlang-*/server/patchlang "$@"\n');
  fs.chmodSync(festival.pathOf('tools/patchlang'), 0o755);
  festival.write('.vscode/settings.json', JSON.stringify({ 'patchlang.server.path': festival.pathOf('tools/patchlang') }));
  festival.write('.patchlang-rules', 'tools/click.csx\n');
  festival.write(
    'tools/click.csx',
    '// rule: click\n/// The click is always looked at.\nforeach (var feed in Rig.Feeds.Where(f => f.Name == "click"))\n    Finding(feed, "the house listens to the click");\n'
  );
  festival.commit('A program and a rule of its own');
}

/** Scripts that were compiled are kept. */
function isOfScripts(file) {
  return /patchlang/.test(file);
}
