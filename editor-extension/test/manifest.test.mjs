// What package.json, the language configuration and the snippets promise.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import test from 'node:test';
import { load } from './typescript.mjs';

const read = file => fs.readFileSync(new URL(`../${file}`, import.meta.url), 'utf8');
const { contributes, capabilities } = JSON.parse(read('package.json'));
const configuration = JSON.parse(read('language-configuration.json'));

/** The first block of README.md that is what `patchlang check` says; a test of the compiler holds it true. */
const said = /```text\n([^]*?)```/.exec(read('../README.md'))[1].split('\n');

test('the problem matcher takes each finding of a check, and nothing else', () => {
  const { regexp, file, line, column, severity, code, message } = contributes.problemMatchers[0].pattern;
  const found = said.map(text => new RegExp(regexp).exec(text)).filter(Boolean);
  assert.deepEqual(
    found.map(m => [m[file], m[line], m[column], m[severity], m[code]]),
    [
      ['quay.rig', '9', '41', 'error', 'PL0501'],
      ['quay.rig', '18', '42', 'error', 'PL0301'],
    ]
  );
  assert.equal(found[1][message], 'rack.mic carries 32 channels; there are no channels 33 to 34');
});

test('a path may have blanks and a drive in it', () => {
  const match = new RegExp(contributes.problemMatchers[0].pattern.regexp).exec('C:\\my rigs\\quay 2.rig:9:41: note PL0907: a length is not known');
  assert.deepEqual(match.slice(1, 6), ['C:\\my rigs\\quay 2.rig', '9', '41', 'note', 'PL0907']);
});

test('a task says which plans are checked', async () => {
  const { argumentsOf, taskType } = await load('checkArguments.ts');
  assert.deepEqual(argumentsOf({ type: taskType }), ['check']);
  assert.deepEqual(argumentsOf({ type: taskType, plans: ['a.rig', 'b.rig'], arguments: ['--fix'] }), ['check', 'a.rig', 'b.rig', '--fix']);
  const [definition] = contributes.taskDefinitions;
  assert.equal(definition.type, taskType);
  assert.deepEqual(Object.keys(definition.properties), ['plans', 'arguments']);
});

test('the commands are those that the code has', async () => {
  const { commands } = await load('commands.ts');
  assert.deepEqual(contributes.commands.map(c => c.command).sort(), Object.values(commands).sort());
});

test('in a folder that is not trusted its settings can neither name a program nor turn on rules; in no folder can they turn on rules', () => {
  assert.equal(capabilities.untrustedWorkspaces.supported, 'limited');
  assert.ok(capabilities.untrustedWorkspaces.description);
  assert.deepEqual(capabilities.untrustedWorkspaces.restrictedConfigurations, ['patchlang.server.path', 'patchlang.rules']);
  const { default: otherwise, scope } = contributes.configuration.properties['patchlang.rules'];
  assert.deepEqual([otherwise, scope], ['off', 'machine']);
});

/** The rows of the table in README.md whose first cell begins so: their cells, without backticks and the like. */
const rowsOf = first =>
  read('README.md')
    .split('\n')
    .filter(line => line.startsWith(`| ${first}`))
    .map(line => line.slice(2, -2).split(' | ').map(cell => cell.trim()));

test('the table of settings in the README has each setting, with its default, and no other', () => {
  const settings = Object.entries(contributes.configuration.properties);
  for (const [name, setting] of settings) assert.ok(setting.description ?? setting.markdownDescription, name);
  assert.deepEqual(
    rowsOf('`patchlang.').map(([name, otherwise]) => [name, otherwise]).sort(),
    settings.map(([name, { default: otherwise }]) => [`\`${name}\``, otherwise === '' ? 'empty' : `\`${otherwise}\``]).sort()
  );
});

test('the table of commands in the README has each command, and no other', () => {
  assert.deepEqual(rowsOf('PatchLang: ').map(([name]) => name).sort(), contributes.commands.map(c => `${c.category}: ${c.title}`).sort());
});

test('menus and steps name commands that are there', () => {
  const names = new Set(contributes.commands.map(c => c.command));
  for (const [menu, entries] of Object.entries(contributes.menus)) for (const { command } of entries) assert.ok(names.has(command), `${menu}: ${command}`);
  for (const { description, completionEvents } of contributes.walkthroughs[0].steps)
    for (const [, command] of [description, ...completionEvents].join('\n').matchAll(/(?:command:|onCommand:)([\w.]+)/g)) assert.ok(names.has(command), command);
});

test('what writes to the disk or asks git is offered in trusted folders alone', () => {
  for (const [menu, entries] of Object.entries(contributes.menus))
    for (const { command, when } of entries) if (/makeSheets|compareWithRevision|startNewPlan/.test(command)) assert.match(when, /isWorkspaceTrusted/, `${menu}: ${command}`);
});

test('each of the first steps has a page or a picture of our own, with nothing that runs or is fetched', () => {
  const { steps } = contributes.walkthroughs[0];
  assert.ok(steps.length >= 6);
  assert.equal(new Set(steps.map(s => s.id)).size, steps.length);
  for (const { id, media, completionEvents } of steps) {
    const page = read(media.markdown ?? media.image);
    assert.ok(completionEvents.length > 0, id);
    assert.doesNotMatch(page, /<script|<image|<img|https?:(?!\/\/www\.w3\.org)/, id);
    if (media.image) assert.ok(media.altText, id);
  }
});

test('no colour is our own: themes know all scopes and types of tokens', () => {
  for (const key of ['colors', 'themes', 'semanticTokenTypes', 'semanticTokenModifiers', 'semanticTokenScopes']) assert.equal(contributes[key], undefined, key);
  assert.doesNotMatch(JSON.stringify(contributes.configurationDefaults), /colou?r/i);
});

test('every state of the server shows a text, and what goes wrong stands out with its reason', async () => {
  const { show } = await load('serverState.ts');
  for (const state of ['starting', 'running', 'stopped', 'missing']) assert.match(show(state, '').text, /PatchLang$/);
  assert.equal(show('running', '/usr/bin/patchlang, 0.1.0').isError, false);
  assert.match(show('running', '/usr/bin/patchlang, 0.1.0').tooltip, /\/usr\/bin\/patchlang, 0\.1\.0/);
  for (const state of ['stopped', 'missing']) {
    assert.equal(show(state, 'there is none').isError, true);
    assert.match(show(state, 'there is none').tooltip, /there is none/);
  }
});

test('a word is a name or a number', () => {
  const { pattern, flags } = configuration.wordPattern;
  const words = 'feed flûte_2[L] : rack.mic[12] -> 0.25 ms'.match(new RegExp(pattern, `g${flags}`));
  assert.deepEqual(words, ['feed', 'flûte_2', 'L', 'rack', 'mic', '12', '0.25', 'ms']);
});

test('lines behind an open bracket are indented, and no others', () => {
  const increases = new RegExp(configuration.indentationRules.increaseIndentPattern);
  const decreases = new RegExp(configuration.indentationRules.decreaseIndentPattern);
  for (const line of ['network quay : aes67 {', 'feed mix : sum(', 'gear Box "a } in quotes" {', '  clock main { // its own']) assert.match(line, increases);
  for (const line of ['unit desk : Desk48 { expansion = NetCard(64) }', '// network {', 'rate 48 kHz', 'rig "open { only in quotes"']) assert.doesNotMatch(line, increases);
  for (const line of ['}', '  ) -> desk.ch[1]']) assert.match(line, decreases);
  assert.doesNotMatch('  join rack.net }', decreases);
});

test('a line behind documentation goes on with it, and one behind a remark does not', () => {
  const [documentation] = configuration.onEnterRules;
  assert.match('/// The rack.', new RegExp(documentation.beforeText));
  for (const line of ['// a remark', '//// a rule']) assert.doesNotMatch(line, new RegExp(documentation.beforeText));
});

test('the icons are drawings without anything that runs or is fetched', () => {
  for (const file of Object.values(contributes.languages[0].icon)) {
    const drawing = read(file);
    assert.match(drawing, /^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg"/);
    assert.doesNotMatch(drawing, /<script|<image|href|style/);
  }
});
