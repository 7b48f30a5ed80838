// Promises as tests, and how the plan stands.
import assert from 'node:assert/strict';
import test from 'node:test';
import { documentOf, editor, EventEmitter, settled } from './editor.mjs';
import { load } from './typescript.mjs';

const plan = 'file:///quay/quay.rig';
const promise = (name, line, more = {}) => ({ name: `expect ${name}`, uri: plan, plan, range: { start: { line, character: 7 }, end: { line, character: 20 } }, state: 'held', ...more });

test('what is held passes, what is broken fails with its sentence and figure, what is not decided is passed over', async () => {
  const { testsOf } = await load('promises.ts');
  const tests = testsOf([
    promise('house hears lead', 3),
    promise('ears latency <= 4 ms', 5, { state: 'broken', message: 'lead is heard after 5.2 ms', figure: '5.2 ms', code: 'PL0801', acts: ['bells'] }),
    promise('rack.mic spare in >= 4', 4, { figure: '27 spare' }),
    promise('van hears desk', 6, { state: 'undecided', message: 'a delay is not known' }),
    promise('loop hears click', 7, { state: 'broken', message: 'it does not', allowedBecause: 'on purpose' }),
  ]).get(plan);
  assert.deepEqual(
    tests.map(t => [t.label, t.detail, t.outcome, t.says]),
    [
      ['house hears lead', '', 'passed', ''],
      ['rack.mic spare in >= 4', '27 spare', 'passed', '27 spare'],
      ['ears latency <= 4 ms', '5.2 ms', 'failed', 'PL0801: lead is heard after 5.2 ms (in bells)'],
      ['van hears desk', '', 'skipped', 'a delay is not known'],
      ['loop hears click', 'allowed', 'skipped', 'it does not; allowed: on purpose'],
    ]
  );
});

test('a promise keeps its id when it moves; twins, and a file of two plans, have ids of their own', async () => {
  const { testsOf } = await load('promises.ts');
  const idsOf = all => [...testsOf(all).values()].flat().map(t => t.id);
  assert.deepEqual(idsOf([promise('a hears b', 3)]), idsOf([promise('a hears b', 9)]));
  assert.equal(new Set(idsOf([promise('a hears b', 3), promise('a hears b', 4), promise('a hears b', 3, { plan: 'file:///quay/other.rig' })])).size, 3);
  const shared = testsOf([promise('a hears b', 3), promise('a hears b', 3, { plan: 'file:///quay/other%20day.rig' })]).get(plan);
  assert.deepEqual(shared.map(t => t.detail), ['quay.rig', 'other day.rig']);
});

async function expectations(first) {
  const host = editor();
  const changed = new EventEmitter();
  let answer = first;
  const session = { ask: async method => (method === 'patchlang/expectations' ? answer : undefined), onDidChangePlans: changed.event };
  const { Expectations } = await load('expectations.ts', { vscode: host.vscode });
  const view = new Expectations(session);
  return {
    ...host,
    view,
    controller: host.seen.controller,
    async change(now) {
      answer = now;
      changed.fire([plan]);
      await settled();
    },
  };
}

const children = controller => [...controller.items].flatMap(([, file]) => [...file.children].map(([, item]) => item));

test('each promise is a test under its file, and is told at once, and again when something is new', async () => {
  const { controller, change } = await expectations([]);
  await change([promise('house hears lead', 3), promise('loop hears lead', 4, { state: 'broken', message: 'it does not' })]);
  assert.deepEqual([...controller.items].map(([, file]) => file.label), ['quay.rig']);
  assert.deepEqual(children(controller).map(item => item.label), ['house hears lead', 'loop hears lead']);
  const [first] = controller.runs;
  assert.deepEqual(first.results.filter(([state]) => state !== 'started').map(([state]) => state), ['passed', 'failed']);
  assert.equal(first.results.at(-1)[2].message, 'it does not');
  assert.equal(first.results.at(-1)[2].location.range.start.line, 4);
  assert.equal(first.persist, false);
  assert.equal(first.request.preserveFocus, true, 'no panel opens');
  assert.ok(first.isEnded);

  // A line above them moves both and changes neither.
  await change([promise('house hears lead', 4), promise('loop hears lead', 5, { state: 'broken', message: 'it does not' })]);
  assert.equal(controller.runs.length, 1);
  assert.deepEqual(children(controller).map(item => item.range.start.line), [4, 5]);

  await change([promise('house hears lead', 4), promise('loop hears lead', 5)]);
  assert.deepEqual(controller.runs[1].results.filter(([state]) => state !== 'started').map(([state]) => state), ['passed', 'passed']);
  assert.equal(controller.runs[1].request.include, undefined, 'the view counts those of the last run');

  await change([]);
  assert.deepEqual([...controller.items], []);
});

test('the run button works out what is asked for, and nothing else', async () => {
  const { controller, change, vscode } = await expectations([]);
  await change([promise('a hears b', 1), promise('c hears d', 2, { state: 'undecided', message: 'unknown' }), promise('e hears f', 3)]);
  const [profile] = controller.profiles;
  assert.deepEqual([profile.kind, profile.isDefault], [vscode.TestRunProfileKind.Run, true]);
  const [a, c] = children(controller);
  const results = async request => {
    await profile.run(request, { isCancellationRequested: false });
    return controller.runs.at(-1).results.filter(([state]) => state !== 'started').map(([state, id]) => [state, id.split('\n')[1]]);
  };
  assert.deepEqual(await results(new vscode.TestRunRequest([c])), [['skipped', 'expect c hears d']]);
  assert.match(controller.runs.at(-1).output, /c hears d: unknown/);
  assert.deepEqual((await results(new vscode.TestRunRequest())).length, 3);
  assert.deepEqual(await results(new vscode.TestRunRequest([...controller.items].map(([, file]) => file), [a])), [['skipped', 'expect c hears d'], ['passed', 'expect e hears f']]);
});

test('many changes at once ask once more, not many times', async () => {
  const host = editor();
  const changed = new EventEmitter();
  let count = 0;
  const { Expectations } = await load('expectations.ts', { vscode: host.vscode });
  new Expectations({ ask: async () => (count++, await settled(), []), onDidChangePlans: changed.event });
  for (let i = 0; i < 20; i++) changed.fire([plan]);
  await settled();
  for (let i = 0; i < 20; i++) changed.fire([plan]);
  await new Promise(resolve => setTimeout(resolve, 60));
  assert.ok(count >= 1 && count <= 3, `${count} questions`);
});

test('the command says when a plan expects nothing, else shows the view', async () => {
  const { view, seen, change } = await expectations([]);
  await view.show();
  assert.match(seen.messages[0][1], /expect nothing yet/);
  await change([promise('a hears b', 1)]);
  await view.show();
  assert.deepEqual(seen.executed, [['workbench.view.testing.focus']]);
  assert.equal(seen.controller.runs.at(-1).results.length, 2);
});

const status = (more = {}) => ({ plan, title: 'Lantern Quay', errors: 0, warnings: 0, notes: 0, hints: 0, rate: 48000, timekeepers: ['desk'], leaders: ['desk'], ...more });

test('the status bar tells findings, timekeeper and rate', async () => {
  const { showStatus } = await load('planStatus.ts');
  assert.equal(showStatus(status(), 'quay.rig').text, '$(pass) no faults  $(watch) desk  48 kHz');
  const shown = showStatus(status({ errors: 2, warnings: 1, notes: 3, rate: 44100 }), 'quay.rig');
  assert.equal(shown.text, '$(error) 2  $(warning) 1  $(watch) desk  44.1 kHz');
  assert.match(shown.tooltip, /^Lantern Quay: 2 errors, 1 warning, 3 notes\nTimekeeper: desk\nRate: 44\.1 kHz\n/);
  assert.doesNotMatch(shown.label, /\$\(|\n/, 'a screen reader says words, not icons');
});

test('where no timekeeper is named, the one that gives the time is told; a long name is cut', async () => {
  const { showStatus } = await load('planStatus.ts');
  const free = showStatus(status({ timekeepers: [], leaders: ['rack'], title: undefined }), 'quay.rig');
  assert.match(free.text, /\$\(watch\) rack /);
  assert.match(free.tooltip, /^quay\.rig: nothing found\nNo timekeeper is named; rack gives the time/);
  assert.match(showStatus(status({ timekeepers: [], leaders: [] }), 'quay.rig').tooltip, /\nNo timekeeper is named\n/);
  const long = showStatus(status({ timekeepers: ['a_timekeeper_with_a_very_long_name'] }), 'quay.rig');
  assert.equal(long.text, '$(pass) no faults  $(watch) a_timekeeper_with_a_ver…  48 kHz');
  assert.match(long.tooltip, /a_timekeeper_with_a_very_long_name/);
});

test('the status bar follows the active editor, and is gone where no plan is', async () => {
  const { vscode, seen, fire } = editor();
  const changed = new EventEmitter();
  let errors = 0;
  const { PlanStatusBar } = await load('planStatusBar.ts', { vscode });
  const bar = new PlanStatusBar({ ask: async () => status({ errors }), onDidChangePlans: changed.event });
  await settled();
  const [item] = seen.items;
  assert.equal(item.isShown, false);
  vscode.window.activeTextEditor = { document: documentOf(vscode.Uri.file('/quay/quay.rig'), '') };
  fire('activeEditor', vscode.window.activeTextEditor);
  await settled();
  assert.ok(item.isShown);
  assert.equal(item.command, 'workbench.actions.view.problems');
  errors = 1;
  changed.fire([plan]);
  await settled();
  assert.match(item.text, /^\$\(error\) 1/);
  assert.match(item.accessibilityInformation.label, /1 error/);
  // A page that has the focus is no text editor: the plan beside it is meant.
  vscode.window.visibleTextEditors = [vscode.window.activeTextEditor];
  vscode.window.activeTextEditor = undefined;
  fire('activeEditor', undefined);
  await settled();
  assert.ok(item.isShown);
  vscode.window.activeTextEditor = { document: documentOf(vscode.Uri.file('/notes.txt'), '', { languageId: 'plaintext' }) };
  fire('activeEditor', vscode.window.activeTextEditor);
  await settled();
  assert.equal(item.isShown, false);
  bar.dispose();
  assert.ok(item.isDisposed);
});
