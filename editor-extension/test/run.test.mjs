import assert from 'node:assert/strict';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import test from 'node:test';
import { editor } from './editor.mjs';
import { load } from './typescript.mjs';

const { run, RunError } = await load('run.ts');
const node = (script, ...given) => ['-e', script, '--', ...given];
const folder = os.tmpdir();

test('no shell reads the arguments: blanks, quotes and signs arrive as they are', async () => {
  const given = ['a b', '"c"', '$HOME', '; echo d', '*', ''];
  const outcome = await run(process.execPath, node('console.log(JSON.stringify(process.argv.slice(1)))', ...given), { folder });
  assert.deepEqual(JSON.parse(outcome.output), given);
});

test('an exit code is an outcome, with both outputs', async () => {
  const outcome = await run(process.execPath, node('console.log("out"); console.error("err"); process.exitCode = 2'), { folder });
  assert.deepEqual(outcome, { code: 2, output: 'out\n', error: 'err\n' });
});

test('it runs in the folder, and reads what it is given', async () => {
  const blank = fs.mkdtempSync(path.join(folder, 'a folder '));
  try {
    const outcome = await run(process.execPath, node('process.stdout.write(process.cwd() + "|" + require("fs").readFileSync(0, "utf8"))'), { folder: blank, input: 'rig "é"' });
    assert.equal(outcome.output, `${fs.realpathSync(blank)}|rig "é"`);
  } finally {
    fs.rmdirSync(blank);
  }
});

test('a program that does not read what it is given is no error', async () => {
  const outcome = await run(process.execPath, node('process.exit(0)'), { folder, input: 'x'.repeat(1_000_000) });
  assert.equal(outcome.code, 0);
});

test('cancelling ends it, and gives no outcome', async () => {
  const aborting = new AbortController();
  const running = run(process.execPath, node('setInterval(() => {}, 1000)'), { folder, signal: aborting.signal });
  aborting.abort();
  assert.equal(await running, undefined);
  assert.equal(await run(process.execPath, node(''), { folder, signal: aborting.signal }), undefined);
});

test('a program that is not there is said to be', async () => {
  await assert.rejects(run(path.join(folder, 'no such program'), [], { folder }), error => error instanceof RunError && /no such program/.test(error.message));
});

const lookup = (...given) => () => ({ found: true, command: process.execPath, arguments: given, origin: 'setting' });

async function program(find) {
  const host = editor();
  const { Program } = await load('program.ts', { vscode: host.vscode });
  const log = host.vscode.window.createOutputChannel();
  return { ...host, program: new Program(find, log) };
}

test('clean and found are both outcomes; what failed is shown in its own words', async () => {
  const { program: patchlang, seen } = await program(lookup('-e', 'console.error("patchlang: " + process.argv[1] + " has 2 plans"); process.exitCode = Number(process.argv[2])', '--'));
  assert.equal((await patchlang.run('Checking', ['.', '0'], folder)).code, 0);
  assert.equal((await patchlang.run('Checking', ['.', '1'], folder)).code, 1);
  assert.deepEqual(seen.messages, []);
  assert.equal(await patchlang.run('Checking', ['.', '2'], folder), undefined);
  assert.deepEqual(seen.messages, [['error', '. has 2 plans']]);
  assert.deepEqual(seen.progress.at(-1), { location: 15, title: 'Checking', cancellable: true });
});

test('what an older program may not know fails in silence, but for the log', async () => {
  const { program: patchlang, seen } = await program(lookup('-e', 'console.error("unknown"); process.exitCode = 2', '--'));
  assert.equal(await patchlang.tryRun('Drawing', ['compare'], folder), undefined);
  assert.deepEqual(seen.messages, []);
  assert.match(seen.logged.at(-1)[1], /unknown/);
});

test('the notice cancels', async () => {
  const { program: patchlang, seen } = await program(lookup('-e', 'setInterval(() => {}, 1000)', '--'));
  const running = patchlang.run('Waiting', [], folder);
  seen.cancel();
  assert.equal(await running, undefined);
  assert.deepEqual(seen.messages, []);
});

test('without a program the reason is shown', async () => {
  const { program: patchlang, seen } = await program(() => ({ found: false, reason: 'There is none.' }));
  assert.equal(await patchlang.run('Checking', [], folder), undefined);
  assert.deepEqual(seen.messages, [['error', 'There is none.']]);
});
