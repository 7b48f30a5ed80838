import assert from 'node:assert/strict';
import test from 'node:test';
import { editor } from './editor.mjs';
import { load } from './typescript.mjs';

const found = { found: true, command: '/opt/dot net', arguments: ['/opt/a b.dll'], origin: 'setting' };

async function tasks(folders, lookup = () => found) {
  const { vscode } = editor({ folders });
  const { CheckTasks } = await load('checkTask.ts', { vscode });
  return { vscode, tasks: new CheckTasks(lookup) };
}

test('each folder has a task that checks its plans, with the program run as it is', async () => {
  const { tasks: provider } = await tasks(['/rigs/quay', '/rigs/studio b']);
  const all = provider.provideTasks();
  assert.deepEqual(all.map(t => t.scope.name), ['quay', 'studio b']);
  assert.deepEqual({ ...all[1].execution }, { process: '/opt/dot net', args: ['/opt/a b.dll', 'check'], options: { cwd: '/rigs/studio b' } });
  assert.deepEqual([all[1].problemMatchers, all[1].group], ['$patchlang', 'build']);
});

test('a task of tasks.json keeps its own definition, and runs what it says', async () => {
  const { vscode, tasks: provider } = await tasks(['/rigs/quay']);
  const definition = { type: 'patchlang', plans: ['a b.rig'], arguments: ['--fix'] };
  const task = provider.resolveTask({ definition, scope: vscode.workspace.workspaceFolders[0] });
  assert.equal(task.definition, definition);
  assert.deepEqual(task.execution.args, ['/opt/a b.dll', 'check', 'a b.rig', '--fix']);
});

test('without a folder or a program there is no task', async () => {
  const none = await tasks([]);
  assert.deepEqual(none.tasks.provideTasks(), []);
  assert.equal(none.tasks.resolveTask({ definition: { type: 'patchlang' }, scope: 1 }), undefined);
  const missing = await tasks(['/rigs/quay'], () => ({ found: false, reason: 'none' }));
  assert.deepEqual(missing.tasks.provideTasks(), []);
});
