// The whole as it goes out: types, size, package; and the colours by the tester of such grammars.
import assert from 'node:assert/strict';
import { spawn, spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import test, { after } from 'node:test';
import { createRequire } from 'node:module';
import { packagesIn } from '../notices.mjs';
import { editor } from './editor.mjs';
import { compare } from './snapshots.mjs';
import { load } from './typescript.mjs';

const require = createRequire(import.meta.url);
const { createMessageConnection, StreamMessageReader, StreamMessageWriter } = require('vscode-jsonrpc/node');
const yauzl = require('yauzl');

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

const work = fs.mkdtempSync(path.join(os.tmpdir(), 'a package '));
after(() => fs.rmSync(work, { recursive: true }));

const packed = (name, ...given) => {
  const file = path.join(work, `${name}.vsix`);
  const run = node('package.mjs', '--out', file, ...given);
  isFine(run);
  assert.doesNotMatch(run.stdout + run.stderr, /warn/i);
  return file;
};

test('it packs without a warning, and with nothing but what it needs', async () => {
  const files = (await unpack(packed('bare', '--bare'), path.join(work, 'bare'))).filter(file => file.startsWith('extension/')).map(file => file.slice('extension/'.length)).sort();
  assert.deepEqual(files, [
    'LICENSE.txt',
    'dist/extension.js',
    'dist/notices.txt',
    'dist/view.css',
    'dist/view.js',
    'icons/plan-dark.svg',
    'icons/plan-light.svg',
    'language-configuration.json',
    'package.json',
    'readme.md',
    'snippets.json',
    'syntaxes/rig.tmLanguage.json',
    'walkthrough/channel.md',
    'walkthrough/drawing.svg',
    'walkthrough/expectations.md',
    'walkthrough/finding.md',
    'walkthrough/sheets.md',
    'walkthrough/start.md',
  ]);
});

// The two that bring a program. PATCHLANG_PROGRAM names the native one; the portable one is published, if PATCHLANG_PORTABLE does not
// name the folder that it was published to.
const program = process.env.PATCHLANG_PROGRAM;
const isNative = program !== undefined && !program.endsWith('.dll');

test('the package for this system brings the native program, which starts from where it is unpacked', { skip: isNative ? false : 'PATCHLANG_PROGRAM names no native program' }, async () => {
  const folder = path.join(work, 'native');
  await unpack(packed('native', '--program', program), folder);
  const server = await foundIn(folder);
  assert.equal(server.command, path.join(folder, 'extension/server/patchlang'));
  await answers(server);
  if (fs.existsSync(path.join(path.dirname(program), 'scripts'))) runsRules(server);
  assert.match(fs.readFileSync(path.join(folder, 'extension.vsixmanifest'), 'utf8'), new RegExp(`TargetPlatform="${process.platform}-${process.arch}"`));
});

test('the package for any system brings the portable program, with the licences of all in it; it starts from where it is unpacked', { skip: program ? false : 'PATCHLANG_PROGRAM is not set' }, async () => {
  const folder = path.join(work, 'portable');
  const files = await unpack(packed('portable', ...(process.env.PATCHLANG_PORTABLE ? ['--program', process.env.PATCHLANG_PORTABLE] : [])), folder);
  const server = await foundIn(folder);
  assert.deepEqual(server.arguments, [path.join(folder, 'extension/server/PatchLang.Cli.dll')]);
  await answers(server);
  runsRules(server);
  assert.doesNotMatch(fs.readFileSync(path.join(folder, 'extension.vsixmanifest'), 'utf8'), /TargetPlatform/);
  assert.deepEqual(files.filter(file => /\.(pdb|dbg|exe)$/.test(file) && file.startsWith('extension/')), []);

  const notices = fs.readFileSync(path.join(folder, 'extension/server/notices.txt'), 'utf8');
  const said = [...notices.matchAll(/^(\S+ [\d.]+) \((?:MIT|BSD-3-Clause)\)$/gm)].map(m => m[1]);
  assert.deepEqual(said, packagesIn(path.join(folder, 'extension/server')), 'node notices.mjs FOLDER writes notices.txt anew');
});

test('the licences of the program have whose work it is', () => {
  const notices = fs.readFileSync(path.join(root, '../src/PatchLang.Cli/notices.txt'), 'utf8').split(`\n${'-'.repeat(80)}\n\n`);
  assert.ok(notices.length > 10);
  for (const notice of notices) assert.match(notice, /copyright[^\n]*[a-z]{3}/i);
});

/** The server as the extension finds it, where it is installed in a folder. */
async function foundIn(folder) {
  const { vscode } = editor();
  const { machineOf } = await load('machine.ts', { vscode });
  const { findServer } = await load('serverLookup.ts');
  const found = findServer(machineOf({ extensionPath: path.join(folder, 'extension') }));
  assert.equal(found.found, true, found.reason);
  assert.equal(found.origin, 'extension');
  return found;
}

/** Runs a house rule with the program of a package: it brings what scripts need, but for the .NET runtime. */
function runsRules({ command, arguments: given }) {
  const rule = path.join(work, 'told.csx');
  const plan = path.join(work, 'told.rig');
  fs.writeFileSync(rule, '// rule: told\n/// Each unit is told of.\nforeach (var unit in Rig.Units) Finding(unit, $"{unit} is there");\n');
  fs.writeFileSync(plan, 'rig "Quay"\nrate 48 kHz\ngear Box {}\nunit box : Box\n');
  const run = spawnSync(command, [...given, 'check', plan, '--rules', rule], { cwd: work, encoding: 'utf8' });
  assert.match(run.stdout, /told\.rig:4:\d+: warning PL1202: .*box is there/, run.stdout + run.stderr);
}

/** Starts a server as the client does, and asks how a plan stands. */
async function answers({ command, arguments: given }) {
  const server = spawn(command, [...given, 'serve'], { cwd: work });
  const connection = createMessageConnection(new StreamMessageReader(server.stdout), new StreamMessageWriter(server.stdin));
  try {
    connection.listen();
    const { serverInfo } = await connection.sendRequest('initialize', { processId: process.pid, rootUri: null, capabilities: {}, initializationOptions: { changes: true } });
    assert.equal(serverInfo.name, 'patchlang');
    await connection.sendNotification('initialized', {});
    const uri = 'untitled:Untitled-1';
    await connection.sendNotification('textDocument/didOpen', { textDocument: { uri, languageId: 'rig', version: 1, text: 'rig "Quay"\nrate 44.1 kHz\n' } });
    const status = await connection.sendRequest('patchlang/status', { uri });
    assert.deepEqual([status.title, status.rate, status.errors], ['Quay', 44_100, 0]);
    await connection.sendRequest('shutdown');
    await connection.sendNotification('exit');
  } finally {
    connection.dispose();
    server.kill();
  }
}

/** Unpacks as the editor does: with what the package says of who may run a file. Gives the names of the files. */
function unpack(file, folder) {
  return new Promise((resolve, reject) => {
    yauzl.open(file, { lazyEntries: true }, (failure, zip) => {
      if (failure) return reject(failure);
      const names = [];
      zip.on('error', reject);
      zip.on('end', () => resolve(names));
      zip.on('entry', entry => {
        names.push(entry.fileName);
        const to = path.join(folder, entry.fileName);
        fs.mkdirSync(path.dirname(to), { recursive: true });
        zip.openReadStream(entry, (broken, stream) => {
          if (broken) return reject(broken);
          const mode = (entry.externalFileAttributes >>> 16) & 0o777;
          stream.pipe(fs.createWriteStream(to, { mode: mode || 0o644 })).on('close', () => zip.readEntry());
        });
      });
      zip.readEntry();
    });
  });
}

test('the lock file has no address to download from', () => {
  assert.doesNotMatch(fs.readFileSync(path.join(root, 'package-lock.json'), 'utf8'), /"resolved"/);
});
