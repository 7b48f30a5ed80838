// A folder that nobody vouches for: its plans are read and checked, and nothing that lies in it is run, whatever its settings say.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import { log, part } from './tried.mjs';

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

step('runs nothing of its own', async ({ festival }) => {
  assert.equal(fs.existsSync(festival.pathOf('tools/ran')), false);
});

step('runs what its settings name as soon as it is trusted', async ({ window, festival }) => {
  await window.command('Workspaces: Manage Workspace Trust');
  await window.page.locator('.workspace-trust-editor').getByRole('button', { name: 'Trust', exact: true }).first().click();
  await window.until('that the program of the folder ran', () => fs.existsSync(festival.pathOf('tools/ran')));
  await window.until('that it answers', () => /starting .*tools\/patchlang serve \(found by setting\)/.test(log()));
});

/** Puts a program into the folder that says that it ran, and a setting that names it as the server. */
async function baited(festival) {
  festival.write('tools/patchlang', '#!/bin/sh\ntouch "$(dirname "$0")/ran"\nexec "$HOME"/extensions/patchlang.patchlang-*/server/patchlang "$@"\n');
  fs.chmodSync(festival.pathOf('tools/patchlang'), 0o755);
  festival.write('.vscode/settings.json', JSON.stringify({ 'patchlang.server.path': festival.pathOf('tools/patchlang') }));
  festival.commit('A program of its own');
}
