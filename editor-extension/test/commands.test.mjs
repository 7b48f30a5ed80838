// The commands, with an editor of the test's own and a program that only keeps what it was asked.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import test, { after } from 'node:test';
import { documentOf, editor, EventEmitter } from './editor.mjs';
import { load } from './typescript.mjs';

const work = fs.mkdtempSync(path.join(os.tmpdir(), 'a rig '));
after(() => fs.rmSync(work, { recursive: true }));
const rig = path.join(work, 'quay.rig');
fs.writeFileSync(rig, 'rig "Quay"\n');

/** A program that says the same to every question, or what `reply` makes of it. */
const programOf = reply => {
  const asked = [];
  const answer = async (doing, given, folder) => {
    asked.push({ doing, given, folder });
    return typeof reply === 'function' ? reply(given) : reply;
  };
  return { asked, run: answer, tryRun: answer };
};

const sessionOf = (root = undefined) => ({ ask: async () => (root === undefined ? undefined : { plan: root }), onDidChangePlans: new EventEmitter().event });

/** An editor with a plan in it, and the cursor somewhere. */
function withPlan(text = 'rig "Quay"', { line = 0, column = 0, to, ...more } = {}) {
  const host = editor(more);
  const document = documentOf(host.vscode.Uri.file(rig), text, more.document);
  const active = { line, character: column };
  const end = { line, character: to ?? column };
  const selection = { active, start: active, end, isEmpty: to === undefined };
  document.getText = range => (range ? text.split('\n')[line].slice(column, to) : text);
  host.vscode.window.activeTextEditor = { document, selection };
  host.vscode.workspace.textDocuments = [document];
  return { ...host, document };
}

test('a point is what stands under the cursor', async () => {
  const { pointAt } = await load('pointAt.ts');
  const line = 'feed choir[1..4] "Choir // in desk" : rack.mic[31..34] -> desk.expansion.net[31] -> desk.ch[L, R] // desk.ch[9]';
  const at = part => pointAt(line, line.indexOf(part) + 1);
  assert.equal(at('mic[31..34]'), 'rack.mic[31..34]');
  assert.equal(at('expansion'), 'desk.expansion.net[31]');
  assert.equal(at('[31]'), 'desk.expansion.net[31]');
  assert.equal(at('L, R'), 'desk.ch[L, R]');
  assert.equal(pointAt(line, line.indexOf('desk.ch[L, R]') + 'desk.ch[L, R]'.length), 'desk.ch[L, R]');
  // Anywhere else on the line of a feed, that feed is meant.
  for (const part of ['feed', 'choir', 'Choir', 'in desk', '->', '// desk.ch[9]']) assert.equal(at(part), 'choir[1..4]', part);
});

test('where there is neither a point nor a feed there is none', async () => {
  const { pointAt } = await load('pointAt.ts');
  assert.equal(pointAt('  // a remark about desk.ch[1]', 20), undefined);
  assert.equal(pointAt('rate 48 kHz', 1), undefined);
  assert.equal(pointAt('', 0), undefined);
  assert.equal(pointAt('  join flûte_2.net', 12), 'flûte_2.net');
  assert.equal(pointAt('feed x : sum(lead after fader)', 10), 'x');
  assert.equal(pointAt('feed x : sum(lead after fader)', 14), 'lead');
});

test('a trace is a document beside the plan, asked of the root that the server names', async () => {
  const { vscode, seen } = withPlan('feed lead : rack.mic[1] -> desk.ch[1]', { column: 14 });
  const root = vscode.Uri.file(path.join(work, 'stage day.rig')).toString();
  const { Traces } = await load('trace.ts', { vscode });
  const { Plans } = await load('plans.ts', { vscode });
  const program = programOf({ code: 0, output: 'rack.mic[1]\n  goes to\n', error: '' });
  await new Traces(new Plans(sessionOf(root)), program).fromHere();
  assert.deepEqual(program.asked, [{ doing: 'Tracing rack.mic[1]', given: ['trace', '--', 'rack.mic[1]', './stage day.rig'], folder: work }]);
  const [kind, uri, { viewColumn }] = seen.opened.at(-1);
  assert.deepEqual([kind, viewColumn], ['document', vscode.ViewColumn.Beside]);
  assert.equal(seen.content.provider.provideTextDocumentContent(vscode.Uri.parse(uri)), 'rack.mic[1]\n  goes to\n');
});

test('a trace is of what is selected, or of what is typed where nothing stands', async () => {
  const chosen = withPlan('feed lead : rack.mic[1]', { column: 5, to: 9 });
  const program = programOf({ code: 0, output: '', error: '' });
  const { Traces } = await load('trace.ts', { vscode: chosen.vscode });
  const { Plans } = await load('plans.ts', { vscode: chosen.vscode });
  await new Traces(new Plans(sessionOf()), program).fromHere();
  assert.equal(program.asked[0].given[2], 'lead');

  const typed = withPlan('', {});
  typed.answers.input = ' desk.ch[5] ';
  const other = programOf({ code: 0, output: '', error: '' });
  const again = await load('trace.ts', { vscode: typed.vscode });
  const plans = await load('plans.ts', { vscode: typed.vscode });
  await new again.Traces(new plans.Plans(sessionOf()), other).fromHere();
  assert.equal(other.asked[0].given[2], 'desk.ch[5]');
  typed.answers.input = undefined;
  await new again.Traces(new plans.Plans(sessionOf()), other).fromHere();
  assert.equal(other.asked.length, 1);
});

test('what is not saved is saved before the program reads the disk; if it cannot be, nothing is done', async () => {
  let isSaved = false;
  const document = { isDirty: true, save: async () => (isSaved = true) };
  const { vscode, seen } = withPlan('', { document });
  const { Plans } = await load('plans.ts', { vscode });
  assert.deepEqual(await new Plans(sessionOf()).saved(), { file: rig, folder: work, name: 'quay.rig', argument: './quay.rig' });
  assert.ok(isSaved);
  vscode.workspace.textDocuments[0].save = async () => false;
  assert.equal(await new Plans(sessionOf()).saved(), undefined);
  assert.match(seen.messages.at(-1)[1], /could not be saved/);
});

test('a plan that is not open is opened for the server, without showing it', async () => {
  const { vscode } = editor();
  const { Plans } = await load('plans.ts', { vscode });
  const opened = [];
  vscode.workspace.openTextDocument = async uri => opened.push(uri.toString());
  const asked = [];
  const session = { ask: async (_, { uri }) => (asked.push([uri, opened.length]), { plan: vscode.Uri.file(path.join(work, 'root.rig')).toString() }) };
  assert.equal((await new Plans(session).saved(vscode.Uri.file(rig))).name, 'root.rig');
  assert.deepEqual(asked, [[vscode.Uri.file(rig).toString(), 1]]);
});

test('without a plan, or with one that is nowhere on the disk, the user is told', async () => {
  const { vscode, seen } = editor();
  const { Plans } = await load('plans.ts', { vscode });
  assert.equal(await new Plans(sessionOf()).saved(), undefined);
  assert.match(seen.messages.at(-1)[1], /Open a plan first/);
  assert.equal(await new Plans(sessionOf()).saved(vscode.Uri.parse('untitled:Untitled-1')), undefined);
  assert.match(seen.messages.at(-1)[1], /Save it first/);
});

test('a page in place of the plan does not hide which plan is meant', async () => {
  const { vscode, fire } = withPlan();
  const { Plans } = await load('plans.ts', { vscode });
  const plans = new Plans(sessionOf());
  vscode.window.activeTextEditor = undefined;
  fire('activeEditor', undefined);
  assert.equal((await plans.saved()).name, 'quay.rig');
});

async function sheets(host, program) {
  const { Sheets } = await load('sheets.ts', { vscode: host.vscode });
  const { Plans } = await load('plans.ts', { vscode: host.vscode });
  const shown = [];
  return { shown, sheets: new Sheets(new Plans(sessionOf()), program, { show: (...page) => shown.push(page) }) };
}

test('sheets go into the folder beside the plan, and their page is shown', async () => {
  const host = withPlan();
  host.answers.pick = ([beside]) => beside;
  host.answers.message = 'Show the Page';
  fs.mkdirSync(path.join(work, 'sheets'));
  fs.writeFileSync(path.join(work, 'sheets', 'sheets.html'), '<!DOCTYPE html>');
  const program = programOf({ code: 0, output: '16 sheets of Quay are written to sheets (33 files).\n', error: '' });
  const { sheets: command, shown } = await sheets(host, program);
  await command.make();
  assert.deepEqual(program.asked[0].given, ['sheets', './quay.rig', '--to', path.join(work, 'sheets')]);
  assert.deepEqual(host.seen.messages, [['information', '16 sheets of Quay are written to sheets (33 files).']]);
  assert.deepEqual(shown, [['sheets', 'Sheets', '<!DOCTYPE html>', work]]);
});

test('sheets of a plan with faults are told with the caution; another folder may be chosen', async () => {
  const host = withPlan();
  const chosen = host.vscode.Uri.file('/elsewhere/on paper');
  host.answers.pick = ([, other]) => other;
  host.answers.openDialog = [chosen];
  host.answers.message = 'Open to Print';
  const program = programOf({ code: 1, output: '16 sheets are written.\nThe plan has 2 errors.\n', error: '' });
  const { sheets: command } = await sheets(host, program);
  await command.make(host.vscode.Uri.file(rig));
  assert.equal(program.asked[0].given.at(-1), '/elsewhere/on paper');
  assert.deepEqual(host.seen.messages, [['warning', '16 sheets are written. The plan has 2 errors.']]);
  assert.deepEqual(host.seen.opened, [['external', host.vscode.Uri.file('/elsewhere/on paper/sheets.html').toString()]]);
});

test('no folder, no sheets', async () => {
  const host = withPlan();
  const program = programOf({ code: 0, output: '', error: '' });
  const { sheets: command } = await sheets(host, program);
  await command.make();
  host.answers.pick = ([, other]) => other;
  await command.make();
  assert.deepEqual(program.asked, []);
});

const git = (...given) =>
  execFileSync('git', ['-c', 'user.name=Quay', '-c', 'user.email=quay@lantern-quay.example', '-c', 'commit.gpgsign=false', '-c', 'init.defaultBranch=main', ...given], { cwd: work, encoding: 'utf8' });

test('a folder without a repository has no revisions, and says so; one without a commit has an empty list', async () => {
  const { revisionsOf } = await load('revisions.ts');
  await assert.rejects(revisionsOf(work), /no git repository/);
  git('init', '--quiet');
  assert.deepEqual(await revisionsOf(work), []);
});

test('revisions are branches, tags, and the commits that changed a plan', async () => {
  const { revisionsOf } = await load('revisions.ts');
  git('add', 'quay.rig');
  git('commit', '--quiet', '--message', 'The first, with "quotes" and | signs');
  git('tag', 'monday');
  fs.writeFileSync(path.join(work, 'notes.txt'), 'x');
  git('add', 'notes.txt');
  git('commit', '--quiet', '--message', 'Notes alone');
  const found = await revisionsOf(work);
  assert.deepEqual(found.map(r => [r.kind, r.name]).slice(0, 2).sort(), [['branch', 'main'], ['tag', 'monday']]);
  assert.deepEqual(found.slice(2).map(r => [r.kind, r.subject]), [['commit', 'The first, with "quotes" and | signs']]);
  assert.match(found[2].name, /^[0-9a-f]{7,}$/);
  assert.match(found[2].age, /ago$/);
});

async function comparison(host, program) {
  const { Comparison } = await load('compare.ts', { vscode: host.vscode });
  const { Plans } = await load('plans.ts', { vscode: host.vscode });
  const shown = [];
  return { shown, comparison: new Comparison(new Plans(sessionOf()), program, { show: (...page) => shown.push(page) }) };
}

test('a comparison shows the page, and the drawing behind it', async () => {
  const host = withPlan();
  host.answers.pick = items => items.find(item => item.label.includes('monday'));
  const program = programOf(given => ({ code: 1, error: '', output: `<!DOCTYPE html>\n${given.at(-1)}` }));
  const { comparison: command, shown } = await comparison(host, program);
  await command.withRevision();
  assert.deepEqual(program.asked.map(a => a.given), ['html', 'drawing'].map(format => ['compare', './quay.rig', '--git', 'monday', '--format', format]));
  assert.deepEqual(shown.map(([kind, title, , , takesFocus]) => [kind, title, takesFocus]), [['changesDrawn', 'What changed since monday, drawn', false], ['changes', 'What changed since monday', undefined]]);
});

test('where nothing changed, or the program does not draw changes, there is the page alone', async () => {
  for (const reply of [given => ({ code: 0, error: '', output: given.at(-1) }), given => (given.at(-1) === 'drawing' ? undefined : { code: 1, error: '', output: 'page' })]) {
    const host = withPlan();
    host.answers.pick = ([head]) => head;
    const { comparison: command, shown } = await comparison(host, programOf(reply));
    await command.withRevision();
    assert.deepEqual(shown.map(([kind]) => kind), ['changes']);
  }
});

test('another revision is typed, and one that is an option of git is not taken', async () => {
  const host = withPlan();
  host.answers.pick = ([, other]) => other;
  host.answers.input = 'HEAD~1';
  const program = programOf({ code: 0, output: '', error: '' });
  const { comparison: command } = await comparison(host, program);
  await command.withRevision();
  assert.equal(program.asked[0].given[3], 'HEAD~1');
  const { checkRevision } = await load('compare.ts', { vscode: host.vscode });
  for (const wrong of ['', '  ', '--output=x', '-', 'a b', 'a\tb']) assert.ok(checkRevision(wrong), wrong);
  for (const right of ['HEAD~3', 'main', 'v1.0', 'a/b', '@{upstream}', ':/fix']) assert.equal(checkRevision(right), undefined, right);
});

test('a page may hold its own styles, and nothing that is fetched', async () => {
  const { vscode, seen } = editor();
  const { Reports, underPolicy } = await load('report.ts', { vscode });
  const page = underPolicy('<!DOCTYPE html>\n<html>\n<head>\n<meta charset="utf-8"/>\n<style>\np {}\n</style>\n</head><body><p style="color: red">x</p><script>1</script></body></html>', 'abc');
  const policy = /<head>\n<meta http-equiv="Content-Security-Policy" content="([^"]*)"\/>/.exec(page)[1];
  assert.match(policy, /^default-src 'none';/);
  assert.doesNotMatch(policy, /https?:|\*|unsafe-eval|script-src[^;]*unsafe-inline/);
  assert.match(page, /<style nonce="abc">/);
  assert.match(page, /<script nonce="abc">/);
  const reports = new Reports();
  reports.show('changes', 'One', page, '/quay');
  reports.show('changes', 'Two', page, '/quay');
  assert.equal(seen.panels.length, 1);
  assert.equal(seen.panels[0].title, 'Two');
  assert.ok(seen.panels[0].isRevealed);
  assert.deepEqual(seen.panels[0].options.localResourceRoots, []);
  const nonces = new Set([...seen.panels[0].webview.html.matchAll(/nonce-([^']+)/g)].map(m => m[1]));
  assert.equal(nonces.size, 2, 'the nonce of the test, and one that cannot be guessed');
  seen.panels[0].dispose();
  reports.show('changes', 'Three', page, '/quay');
  assert.equal(seen.panels.length, 2);
});

test('a place in a page leads to its line; one of an older plan leads nowhere', async () => {
  const { vscode, seen, registered } = editor();
  const { Reports, withLinks, showPlace } = await load('report.ts', { vscode });
  const page = '<li>x <span class="where">a &amp; b.rig:57, was inputs.rig:9</span></li><li><span class="where">was gone.rig:3</span></li><tr><td class="place">library/desks.rig:15</td></tr><p>inputs.rig:5</p>';
  const linked = withLinks(page, "/the quay's");
  const links = [...linked.matchAll(/<a href="command:([\w.]+)\?([^"]*)">([^<]*)<\/a>/g)].map(([, command, given, text]) => [command, JSON.parse(decodeURIComponent(given)), text]);
  assert.deepEqual(links, [
    [showPlace, ["/the quay's", 'a & b.rig', 57], 'a &amp; b.rig:57'],
    [showPlace, ["/the quay's", 'library/desks.rig', 15], 'library/desks.rig:15'],
  ]);
  assert.equal(linked.replace(/<\/?a\b[^>]*>/g, ''), page, 'nothing else is changed');

  const reports = new Reports();
  reports.show('changes', 'Changes', page, '/quay');
  assert.deepEqual(seen.panels[0].options.enableCommandUris, [showPlace]);
  await registered.get(showPlace)('/quay', 'inputs.rig', 57);
  await registered.get(showPlace)('/quay', 'library/desks.rig', 15);
  assert.deepEqual(seen.opened.map(([, uri, { selection }]) => [uri, selection.start.line]), [['file:///quay/inputs.rig', 56], ['patchlang:/library/desks.rig', 14]]);
  reports.dispose();
  assert.equal(registered.has(showPlace), false);
});

async function newPlan(host, program) {
  const { NewPlan } = await load('newPlan.ts', { vscode: host.vscode });
  return new NewPlan(program);
}

/** Writes a starter plan, as the program does. */
const writer = given => {
  fs.mkdirSync(given[1], { recursive: true });
  fs.writeFileSync(path.join(given[1], 'plan.rig'), 'rig "My first rig"\n');
  return { code: 0, output: '', error: '' };
};

test('a new plan goes into the open folder, if that is empty', async () => {
  const folder = path.join(work, 'an empty one');
  fs.mkdirSync(folder);
  const host = editor({ folders: [folder] });
  const program = programOf(writer);
  await (await newPlan(host, program)).start();
  assert.deepEqual(program.asked[0].given, ['new', folder]);
  assert.deepEqual(host.seen.opened, [['document', host.vscode.Uri.file(path.join(folder, 'plan.rig')).toString(), undefined]]);
  assert.deepEqual(host.seen.messages, []);
});

test('into a folder with something in it a new plan gets a folder of its own; nothing is written over', async () => {
  const host = editor();
  host.answers.openDialog = [host.vscode.Uri.file(work)];
  host.answers.input = options => (assert.match(options.prompt, /not empty/), 'festival');
  host.answers.message = 'Open the Folder';
  const program = programOf(writer);
  await (await newPlan(host, program)).start();
  assert.deepEqual(program.asked[0].given, ['new', path.join(work, 'festival')]);
  assert.deepEqual(host.seen.executed.at(-1), ['vscode.openFolder', host.vscode.Uri.file(path.join(work, 'festival'))]);
  host.answers.openDialog = undefined;
  await (await newPlan(host, program)).start();
  assert.equal(program.asked.length, 1);
});

test('a name for a folder leads nowhere else', async () => {
  const { checkFolderName } = await load('newPlan.ts', { vscode: editor().vscode });
  for (const wrong of ['', ' ', '..', '.', 'a/b', 'a\\b', '-x', 'a:b']) assert.ok(checkFolderName(wrong), wrong);
  for (const right of ['my-rig', 'Hafenbühne 2', 'a.b']) assert.equal(checkFolderName(right), undefined, right);
});

test('the finding under the cursor is explained; else one is chosen', async () => {
  const { vscode, seen, answers } = withPlan('unit desk', { column: 6 });
  const finding = (code, start) => ({ code: { value: code, target: undefined }, message: `${code} says`, range: new vscode.Range(0, start, 0, start + 3) });
  const found = [[vscode.window.activeTextEditor.document.uri, [finding('PL0501', 5), { code: 'no-console', message: 'x', range: new vscode.Range(0, 0, 0, 9) }]], [vscode.Uri.file('/other.rig'), [finding('PL0301', 0)]]];
  vscode.languages.getDiagnostics = uri => (uri ? found[0][1] : found);
  const { explainFinding } = await load('explain.ts', { vscode });
  const shown = () => seen.executed.filter(([name]) => name === 'markdown.showPreviewToSide').map(([, uri]) => uri.toString());
  await explainFinding();
  assert.deepEqual(shown(), ['patchlang:/findings/PL0501.md']);
  vscode.window.activeTextEditor.selection.active.character = 0;
  answers.pick = items => (assert.deepEqual(items.map(i => i.code), ['PL0301', 'PL0501']), items[0]);
  await explainFinding();
  assert.deepEqual(shown(), ['patchlang:/findings/PL0501.md', 'patchlang:/findings/PL0301.md']);
  vscode.languages.getDiagnostics = uri => (uri ? [] : []);
  await explainFinding();
  assert.match(seen.messages.at(-1)[1], /Nothing is found/);
});

test('in a folder that is not trusted nothing is written, and git is not asked', async () => {
  const { vscode, seen, answers } = editor({ isTrusted: false });
  answers.message = 'Manage Trust';
  const { trusted } = await load('trust.ts', { vscode });
  await trusted(async () => assert.fail('it ran'));
  assert.match(seen.messages[0][1], /not trusted/);
  assert.deepEqual(seen.executed, [['workbench.trust.manage']]);
  vscode.workspace.isTrusted = true;
  let hasRun = false;
  await trusted(async () => void (hasRun = true));
  assert.ok(hasRun);
});
