// Beside the server itself: it knows what each word is, so the colours before it answers have to be the same.
// PATCHLANG_PROGRAM names the program; without it these are passed over.
import assert from 'node:assert/strict';
import { spawn, spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import test from 'node:test';
import { pathToFileURL } from 'node:url';
import { createRequire } from 'node:module';
import { piecesOf } from './colours.mjs';

const require = createRequire(import.meta.url);
const { createMessageConnection, StreamMessageReader, StreamMessageWriter } = require('vscode-jsonrpc/node');
const named = process.env.PATCHLANG_PROGRAM;
const program = named && (named.endsWith('.dll') ? ['dotnet', named] : [named]);
const skip = program ? false : 'PATCHLANG_PROGRAM is not set';
const root = path.join(import.meta.dirname, '../..');

const plansIn = folder =>
  fs
    .readdirSync(path.join(root, folder))
    .filter(file => file.endsWith('.rig'))
    .map(file => path.join(root, folder, file));
const plans = [...['lantern-quay', 'ten-minutes', 'studio-without-desk', 'wrong'].flatMap(name => plansIn(`samples/${name}`)), ...plansIn('src/PatchLang/Library')];

const standsFor = { keyword: /^keyword\.control/, number: /numeric|unit/, string: /string|escape/, comment: /comment/, operator: /operator/ };

test('what the server calls a word of the language, a number, a text, a sign or a remark is coloured so, and nothing else as a word', { skip }, async () => {
  const server = spawn(program[0], [...program.slice(1), 'serve']);
  const connection = createMessageConnection(new StreamMessageReader(server.stdout), new StreamMessageWriter(server.stdin));
  try {
    connection.listen();
    const { capabilities } = await connection.sendRequest('initialize', { processId: process.pid, rootUri: null, capabilities: {} });
    const types = capabilities.semanticTokensProvider.legend.tokenTypes;
    await connection.sendNotification('initialized', {});
    const differing = [];
    let compared = 0;
    for (const file of plans) {
      const uri = pathToFileURL(file).href;
      const text = fs.readFileSync(file, 'utf8');
      await connection.sendNotification('textDocument/didOpen', { textDocument: { uri, languageId: 'rig', version: 1, text } });
      const { data } = await connection.sendRequest('textDocument/semanticTokens/full', { textDocument: { uri } });
      const pieces = piecesOf(text);
      const words = new Set(pieces.filter(p => standsFor.keyword.test(p.scope)).map(p => `${p.line}:${p.start}`));
      for (let i = 0, line = 0, start = 0; i < data.length; i += 5) {
        start = data[i] === 0 ? start + data[i + 1] : data[i + 1];
        line += data[i];
        const type = types[data[i + 3]];
        const piece = pieces.find(p => p.line === line && p.start <= start && start < p.end);
        const isSame = standsFor[type] ? standsFor[type].test(piece?.scope) : !standsFor.keyword.test(piece?.scope);
        if (!isSame) differing.push(`${path.basename(file)}:${line + 1}:${start + 1} ${type}, coloured as ${piece?.scope}`);
        words.delete(`${line}:${start}`);
        compared++;
      }
      for (const word of words) differing.push(`${path.basename(file)} ${word} is coloured as a word`);
    }
    assert.deepEqual(differing, []);
    assert.ok(compared > 5000, `${compared} pieces`);
    await connection.sendRequest('shutdown');
    await connection.sendNotification('exit');
  } finally {
    connection.dispose();
    server.kill();
  }
});

const snippets = JSON.parse(fs.readFileSync(path.join(import.meta.dirname, '../snippets.json'), 'utf8'));
for (const [name, { body }] of Object.entries(snippets)) {
  test(`the snippet "${name}" can be read as it is, with nothing left to complain of in its text`, { skip }, () => {
    const plan = body.join('\n').replace(/\$\{\d+:([^}]*)\}/g, '$1').replace(/\$\d+/g, '');
    assert.doesNotMatch(plan, /\$/);
    const run = spawnSync(program[0], [...program.slice(1), 'check', '-', '--format', 'json'], { input: `${plan}\n`, encoding: 'utf8' });
    assert.match(run.stdout, /^\s*[{[]/, run.stderr);
    assert.deepEqual(run.stdout.match(/PL01\d\d/g) ?? [], []);
    // A plan of its own is clean, too.
    if (/^rig /.test(plan)) assert.equal(run.status, 0, run.stdout);
  });
}

test('the first steps tell what the program says of the starter plan', { skip }, () => {
  const page = name => fs.readFileSync(path.join(import.meta.dirname, `../walkthrough/${name}.md`), 'utf8');
  const work = fs.mkdtempSync(path.join(os.tmpdir(), 'first steps '));
  try {
    const run = (...given) => spawnSync(program[0], [...program.slice(1), ...given], { cwd: work, encoding: 'utf8' });
    assert.equal(run('new', '.').status, 0);
    const starter = fs.readFileSync(path.join(work, 'plan.rig'), 'utf8');
    const said = (name, from, to) => {
      assert.ok(typeof from === 'string' ? starter.includes(from) : from.test(starter), `the starter plan has no ${from}`);
      fs.writeFileSync(path.join(work, name), starter.replace(from, to));
      return run('check', name).stdout;
    };
    const [click, missing] = [...page('finding').matchAll(/^> error (PL\d{4}: .*)$/gm)].map(m => m[1]);
    const withoutHost = said('one.rig', /^follow desk\.expansion from host\n/m, '');
    assert.ok(withoutHost.includes(click), withoutHost);
    assert.match(withoutHost, /to mend it: make desk\.expansion follow its host/);
    const seventeen = said('two.rig', 'rack.mic[1] ', 'rack.mic[17] ');
    assert.ok(seventeen.includes(missing), seventeen);

    // What is shown of it is in it, but for columns and for what stands in the rest of a line.
    const plain = starter.replace(/ +/g, ' ');
    for (const line of /```rig\n([^]*?)```/.exec(page('start'))[1].split('\n').filter(Boolean)) assert.ok(plain.includes(line.replace(/ +/g, ' ')), line);
    const promised = /```rig\n([^]*?)```/.exec(page('expectations'))[1];
    const grown = `${starter}feed snare "Snare" : rack.mic[5] -> desk.expansion.net[5] -> desk.ch[5]\n`;
    fs.writeFileSync(path.join(work, 'three.rig'), `${grown}expect house never hears snare\n`);
    for (const line of promised.split('\n').filter(Boolean)) assert.match(run('check', 'three.rig', '--expectations').stdout, new RegExp(`^held +${line}`, 'm'));
  } finally {
    fs.rmSync(work, { recursive: true });
  }
});

test('the drawing among the first steps has the units of the starter plan', { skip }, () => {
  const run = spawnSync(program[0], [...program.slice(1), 'draw', 'src/PatchLang.Cli/Starter/plan.rig'], { cwd: root, encoding: 'utf8' });
  const namesIn = picture => [...picture.matchAll(/class="name"[^>]*>([^<]*)</g)].map(m => m[1]).sort();
  assert.ok(namesIn(run.stdout).length >= 4, run.stdout + run.stderr);
  assert.deepEqual(namesIn(fs.readFileSync(path.join(import.meta.dirname, '../walkthrough/drawing.svg'), 'utf8')), namesIn(run.stdout));
});
