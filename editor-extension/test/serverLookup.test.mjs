import assert from 'node:assert/strict';
import test from 'node:test';
import { editor } from './editor.mjs';
import { load } from './typescript.mjs';

const { findServer } = await load('serverLookup.ts');

/** A machine with these programs; the rest is as on a new one. */
const machine = (programs, more = {}) => ({
  setting: '',
  extensionFolder: '/ext',
  platform: 'linux',
  homeFolder: '/home/mara',
  searchPath: '/usr/local/bin:/usr/bin',
  dotnetRoot: '',
  isProgram: file => programs.includes(file),
  isFile: file => programs.includes(file),
  realPath: file => file,
  entriesOf: () => undefined,
  ...more,
});

test('the program that the setting names comes first', () => {
  const everywhere = ['/opt/patchlang', '/ext/server/patchlang', '/usr/bin/patchlang'];
  assert.deepEqual(findServer(machine(everywhere, { setting: '/opt/patchlang' })), { found: true, command: '/opt/patchlang', arguments: [], origin: 'setting' });
});

test('then the one that came with the extension', () => {
  const found = findServer(machine(['/ext/server/patchlang', '/usr/bin/patchlang']));
  assert.deepEqual(found, { found: true, command: '/ext/server/patchlang', arguments: [], origin: 'extension' });
});

test('then the one on the PATH, in its order', () => {
  const found = findServer(machine(['/usr/bin/patchlang', '/usr/local/bin/patchlang']));
  assert.deepEqual(found, { found: true, command: '/usr/local/bin/patchlang', arguments: [], origin: 'PATH' });
});

test('a setting that names nothing is complained of, though another program is there', () => {
  const found = findServer(machine(['/ext/server/patchlang'], { setting: '/gone/patchlang' }));
  assert.equal(found.found, false);
  assert.match(found.reason, /patchlang\.server\.path names \/gone\/patchlang/);
});

test('a setting has to be a full path: what it means must not hang on the folder that is open', () => {
  const found = findServer(machine(['bin/patchlang'], { setting: 'bin/patchlang' }));
  assert.equal(found.found, false);
  assert.match(found.reason, /full path/);
});

test('~ is the home folder', () => {
  assert.equal(findServer(machine(['/home/mara/bin/patchlang'], { setting: '~/bin/patchlang' })).command, '/home/mara/bin/patchlang');
});

test('a library is run by dotnet', () => {
  const found = findServer(machine(['/opt/PatchLang.Cli.dll', '/usr/bin/dotnet'], { setting: '/opt/PatchLang.Cli.dll' }));
  assert.deepEqual(found, { found: true, command: '/usr/bin/dotnet', arguments: ['/opt/PatchLang.Cli.dll'], origin: 'setting' });
  assert.equal(findServer(machine([], { setting: '/opt/PatchLang.Cli.dll' })).found, false);
  assert.match(findServer(machine(['/opt/PatchLang.Cli.dll'], { setting: '/opt/PatchLang.Cli.dll' })).reason, /\.NET runtime 10 or later, and there is none here/);
});

const portable = '/ext/server/PatchLang.Cli.dll';

test('the portable program that came with the extension runs on a runtime that is new enough', () => {
  const versions = { '/usr/lib/dotnet/shared/Microsoft.NETCore.App': ['8.0.20', '10.0.1'] };
  const linked = { realPath: () => '/usr/lib/dotnet/dotnet', entriesOf: folder => versions[folder] };
  const found = findServer(machine([portable, '/usr/bin/dotnet', '/usr/bin/patchlang'], linked));
  assert.deepEqual(found, { found: true, command: '/usr/bin/dotnet', arguments: [portable], origin: 'extension' });
});

test('a dotnet of which nothing is known is believed', () => {
  assert.equal(findServer(machine([portable, '/usr/bin/dotnet'])).command, '/usr/bin/dotnet');
});

test('an old runtime is passed over for a newer one elsewhere', () => {
  const entriesOf = folder => (folder.startsWith('/home/mara/.dotnet/') ? ['10.0.2'] : ['8.0.20']);
  assert.equal(findServer(machine([portable, '/usr/bin/dotnet', '/home/mara/.dotnet/dotnet'], { entriesOf })).command, '/home/mara/.dotnet/dotnet');
  assert.equal(findServer(machine([portable, '/opt/dotnet/dotnet'], { dotnetRoot: '/opt/dotnet' })).command, '/opt/dotnet/dotnet');
});

test('without a runtime another patchlang serves; where there is none either, the message says what is missing', () => {
  assert.equal(findServer(machine([portable, '/usr/bin/patchlang'])).origin, 'PATH');
  assert.match(findServer(machine([portable])).reason, /\.NET runtime 10 or later, and there is none here\. Install it/);
  const old = { entriesOf: () => ['6.0.36', '8.0.20'] };
  assert.match(findServer(machine([portable, '/usr/bin/dotnet'], old)).reason, /and the newest here is 8\.0\.20\. Install it/);
});

test('the native program comes before the portable one', () => {
  assert.equal(findServer(machine([portable, '/ext/server/patchlang', '/usr/bin/dotnet'])).command, '/ext/server/patchlang');
});

test('blanks around a setting count for nothing', () => {
  assert.equal(findServer(machine(['/usr/bin/patchlang'], { setting: '  ' })).origin, 'PATH');
});

test('nothing is run from a relative folder on the PATH', () => {
  const found = findServer(machine(['patchlang', './patchlang', 'bin/patchlang'], { searchPath: '.:bin::' }));
  assert.equal(found.found, false);
});

test('where there is none, the message says what to do', () => {
  const found = findServer(machine([]));
  assert.equal(found.found, false);
  assert.match(found.reason, /Install patchlang/);
  assert.match(found.reason, /patchlang\.server\.path/);
});

test('on Windows it is patchlang.exe, and the PATH has semicolons', () => {
  const windows = { platform: 'win32', extensionFolder: 'C:\\ext', searchPath: 'C:\\one;D:\\two' };
  assert.equal(findServer(machine(['D:\\two\\patchlang.exe'], windows)).command, 'D:\\two\\patchlang.exe');
  assert.equal(findServer(machine(['C:\\ext\\server\\patchlang.exe'], windows)).origin, 'extension');
});

test('the machine is asked for what is really there', async () => {
  const { vscode } = editor({ settings: { 'patchlang.server.path': '/opt/patchlang' } });
  const { machineOf } = await load('machine.ts', { vscode });
  const real = machineOf({ extensionPath: '/ext' });
  assert.deepEqual([real.setting, real.extensionFolder, real.platform], ['/opt/patchlang', '/ext', process.platform]);
  const here = import.meta.filename;
  assert.deepEqual([real.isProgram(process.execPath), real.isProgram(here), real.isProgram(import.meta.dirname)], [true, false, false]);
  assert.deepEqual([real.isFile(here), real.isFile(import.meta.dirname), real.isFile(`${here}.gone`)], [true, false, false]);
  assert.ok(real.entriesOf(import.meta.dirname).includes('editor.mjs'));
  assert.equal(real.entriesOf(`${here}.gone`), undefined);
  assert.equal(real.realPath(here), here);
});
