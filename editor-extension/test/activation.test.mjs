// The extension as a whole, from its entry: what it registers, and what happens when settings and trust change.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import test from 'node:test';
import { editor, settled, EventEmitter } from './editor.mjs';
import { load } from './typescript.mjs';

const { contributes } = JSON.parse(fs.readFileSync(new URL('../package.json', import.meta.url), 'utf8'));

async function activated() {
  const host = editor({ settings: { 'patchlang.server.path': process.execPath } });
  const clients = [];
  class LanguageClient {
    onDidChangeState = new EventEmitter().event;
    constructor(...given) {
      Object.assign(this, { run: given[2], state: 2, isDisposed: false });
      clients.push(this);
    }
    onNotification() {}
    sendNotification = async () => {};
    start = async () => {};
    sendRequest = async () => null;
    dispose = async () => (this.isDisposed = true);
  }
  const extension = await load('extension.ts', { vscode: host.vscode, 'vscode-languageclient/node': { LanguageClient, State: { Running: 2, Starting: 3, Stopped: 1 } } });
  const context = { extensionPath: '/ext', extensionUri: host.vscode.Uri.file('/ext'), extension: { id: 'patchlang.patchlang' }, subscriptions: [], workspaceState: { get: () => undefined, update: async () => {} }, globalState: { get: () => undefined, update: async () => {} } };
  extension.activate(context);
  await settled();
  return { ...host, extension, context, clients };
}

test('every command that package.json declares is there, and no other but the one that pages have for places', async () => {
  const { registered } = await activated();
  assert.deepEqual([...registered.keys()].sort(), [...contributes.commands.map(c => c.command), 'patchlang.showPlace'].sort());
});

test('it starts the server beside the editor, and logs how long that took', async () => {
  const { clients, seen } = await activated();
  assert.deepEqual(clients.map(c => c.run), [{ command: process.execPath, args: ['serve'] }]);
  assert.match(seen.logged.map(([, text]) => text).join('\n'), /activated in \d+ ms, \d+ ms of it to load/);
});

test('another server in the settings, or trust in the folder, starts it anew', async () => {
  const { clients, fire } = await activated();
  fire('configuration', { affectsConfiguration: name => name === 'editor.fontSize' });
  await settled();
  assert.equal(clients.length, 1);
  fire('configuration', { affectsConfiguration: name => name === 'patchlang.server.path' });
  await settled();
  fire('trust');
  await settled();
  assert.deepEqual(clients.map(c => c.isDisposed), [true, true, false]);
});

test('the first steps open under their name in package.json', async () => {
  const { registered, seen } = await activated();
  await registered.get('patchlang.showFirstSteps')();
  assert.deepEqual(seen.executed.at(-1), ['workbench.action.openWalkthrough', `patchlang.patchlang#${contributes.walkthroughs[0].id}`, false]);
});

test('in the end the server is gone, and all that was registered can be disposed of', async () => {
  const { extension, context, clients } = await activated();
  for (const each of context.subscriptions) each.dispose();
  await extension.deactivate();
  assert.ok(clients[0].isDisposed);
});
