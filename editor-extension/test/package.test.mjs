// The whole as it goes out: types, size, package; and the colours by the tester of such grammars.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import test from 'node:test';
import { compare } from './snapshots.mjs';

const root = path.join(import.meta.dirname, '..');
const node = (...given) => spawnSync(process.execPath, given, { cwd: root, encoding: 'utf8' });
const isFine = run => assert.equal(run.status, 0, run.stdout + run.stderr);

test('the types fit', () => isFine(node('node_modules/typescript/bin/tsc', '--noEmit')));

test('each piece of the plans in units/ has the colour that is written under it', () => isFine(node('node_modules/vscode-tmgrammar-test/dist/unit.js', '--config', 'package.json', 'test/units/*.rig')));

test('the samples have the colours that they had', () => isFine(compare()));

test('the bundle is under 1 MB, and has the licences of all in it', () => {
  assert.ok(fs.statSync(path.join(root, 'dist/extension.js')).size < 1_000_000);
  const notices = fs.readFileSync(path.join(root, 'dist/notices.txt'), 'utf8');
  for (const name of ['vscode-languageclient', 'vscode-jsonrpc', 'semver', 'minimatch']) assert.ok(notices.includes(`${name} `), name);
});

test('it packs without a warning, and with nothing but what it needs', () => {
  const work = fs.mkdtempSync(path.join(os.tmpdir(), 'vsix-'));
  try {
    const run = node('package.mjs', path.join(work, 'patchlang.vsix'));
    isFine(run);
    assert.doesNotMatch(run.stdout + run.stderr, /warn/i);
    const listed = node('node_modules/@vscode/vsce/vsce', 'ls', '--no-dependencies');
    isFine(listed);
    const files = listed.stdout.trim().split('\n').filter(file => !file.startsWith('server/')).sort();
    assert.deepEqual(files, [
      'LICENSE',
      'README.md',
      'dist/extension.js',
      'dist/notices.txt',
      'icons/plan-dark.svg',
      'icons/plan-light.svg',
      'language-configuration.json',
      'package.json',
      'snippets.json',
      'syntaxes/rig.tmLanguage.json',
      'walkthrough/channel.md',
      'walkthrough/drawing.svg',
      'walkthrough/expectations.md',
      'walkthrough/finding.md',
      'walkthrough/sheets.md',
      'walkthrough/start.md',
    ]);
  } finally {
    fs.rmSync(work, { recursive: true });
  }
});

test('the lock file has no address to download from', () => {
  assert.doesNotMatch(fs.readFileSync(path.join(root, 'package-lock.json'), 'utf8'), /"resolved"/);
});
