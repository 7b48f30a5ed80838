import assert from 'node:assert/strict';
import test from 'node:test';
import { editor, settled, EventEmitter } from './editor.mjs';
import { load } from './typescript.mjs';

const found = { found: true, command: '/usr/bin/patchlang', arguments: [], origin: 'PATH' };
const State = { Stopped: 1, Starting: 3, Running: 2 };

/** A session whose client is one of the test's own: it starts at once, and answers by `reply`. */
async function session({ lookup = () => found, reply = () => null, refuse, ...more } = {}) {
  const host = editor(more);
  const clients = [];
  class LanguageClient {
    #states = new EventEmitter();
    #notified = new Map();
    state = State.Stopped;
    initializeResult = { serverInfo: { version: '0.1.0' } };
    onDidChangeState = this.#states.event;
    constructor(id, name, run, options) {
      Object.assign(this, { id, name, run, options, isDisposed: false });
      clients.push(this);
    }
    onNotification(method, handle) {
      this.#notified.set(method, handle);
    }
    sent = [];
    async sendNotification(...given) {
      this.sent.push(given);
    }
    notify(method, value) {
      this.#notified.get(method)(value);
    }
    go(newState) {
      this.state = newState;
      this.#states.fire({ newState });
    }
    async start() {
      this.go(State.Starting);
      if (refuse) throw new Error(refuse);
      this.go(State.Running);
    }
    async sendRequest(method, parameters, ...more) {
      // The client takes whatever comes behind for a token, or for another argument.
      if (more.some(token => token === undefined)) throw new Error('an argument that is none');
      return reply(method, parameters);
    }
    async dispose() {
      this.isDisposed = true;
      this.go(State.Stopped);
    }
  }
  const { Session } = await load('session.ts', { vscode: host.vscode, 'vscode-languageclient/node': { LanguageClient, State } });
  return { ...host, clients, session: new Session(lookup) };
}

test('the server is started as it was found, and asked to tell of changes', async () => {
  const { session: current, clients } = await session({ lookup: () => ({ ...found, command: 'dotnet', arguments: ['/opt/a b.dll'] }) });
  await current.start();
  assert.deepEqual(clients[0].run, { command: 'dotnet', args: ['/opt/a b.dll', 'serve'] });
  assert.equal(clients[0].options.initializationOptions.changes, true);
});

test('house rules run where the folder is trusted and the user has turned them on, and not otherwise', async () => {
  const asked = async (rules, isTrusted) => {
    const { session: current, clients } = await session({ settings: { 'patchlang.rules': rules }, isTrusted });
    await current.start();
    return clients[0].options.initializationOptions.rules;
  };
  assert.deepEqual(await asked('on', true), { trusted: true, enabled: true });
  assert.deepEqual(await asked('on', false), { trusted: false, enabled: true });
  assert.deepEqual(await asked('off', true), { trusted: true, enabled: false });
  assert.deepEqual(await asked(undefined, true), { trusted: true, enabled: false });
});

test('turning rules on or off is told to the server that runs', async () => {
  const { session: current, clients, settings } = await session({ settings: {} });
  await current.tellWishes();
  await current.start();
  settings['patchlang.rules'] = 'on';
  await current.tellWishes();
  assert.deepEqual(clients[0].sent, [['workspace/didChangeConfiguration', { settings: { patchlang: { rules: { trusted: true, enabled: true } } } }]]);
});

test('where there is no server, the status bar and a message say why, once', async () => {
  const { session: current, seen } = await session({ lookup: () => ({ found: false, reason: 'There is none.' }) });
  await current.start();
  assert.deepEqual(seen.messages, [['error', 'There is none.']]);
  assert.match(seen.items[0].tooltip, /There is none/);
  assert.equal(await current.ask('patchlang/status', {}), undefined);
});

test('a server that does not come up is told of, with its reason', async () => {
  const { session: current, seen } = await session({ refuse: 'it died' });
  await current.start();
  assert.deepEqual(seen.messages, [['error', '/usr/bin/patchlang did not start: it died']]);
});

test('a question asked while the server starts waits for it', async () => {
  const { session: current } = await session({ reply: (method, parameters) => ({ method, parameters }) });
  void current.start();
  assert.deepEqual(await current.ask('patchlang/status', { uri: 'a' }), { method: 'patchlang/status', parameters: { uri: 'a' } });
});

test('a server that does not know a question is no error; another failure is logged', async () => {
  let code = -32601;
  const { session: current, seen } = await session({
    reply: () => {
      throw Object.assign(new Error('no'), { code });
    },
  });
  await current.start();
  assert.equal(await current.ask('patchlang/status', {}), undefined);
  assert.deepEqual(seen.logged.filter(([level]) => level === 'warn'), []);
  code = -32603;
  assert.equal(await current.ask('patchlang/status', {}), undefined);
  assert.deepEqual(seen.logged.filter(([level]) => level === 'warn'), [['warn', 'patchlang/status: no']]);
});

test('what the server says of changes reaches whoever listens, and a restart concerns all plans', async () => {
  const { session: current, clients } = await session();
  const heard = [];
  current.onDidChangePlans(plans => heard.push(plans));
  await current.start();
  clients[0].notify('patchlang/changed', { plans: ['file:///a.rig'] });
  assert.deepEqual(heard, [undefined, ['file:///a.rig']]);
  await current.restart();
  assert.equal(clients.length, 2);
  assert.ok(clients[0].isDisposed);
  assert.equal(heard.at(-1), undefined);
});

test('restarts come one after the other: in the end one server runs', async () => {
  const { session: current, clients } = await session();
  await Promise.all([current.start(), current.restart(), current.restart()]);
  assert.deepEqual(clients.map(c => c.isDisposed), [true, true, false]);
});

test('pushed findings have the owner of the task, pulled ones another', async () => {
  const { session: current, clients, seen, vscode, fire } = await session();
  await current.start();
  const provider = clients[0].options.diagnosticCollectionProvider;
  const pushed = provider.create('patchlang', 'push');
  const pulled = provider.create('patchlang', 'pull');
  assert.equal(pushed.name, 'patchlang');
  assert.notEqual(pulled.name, pushed.name);

  // A task that ends has cleared what the server found in closed files: it is said again.
  const closed = vscode.Uri.file('/rigs/inputs.rig');
  pushed.set(closed, ['a finding']);
  pushed.sent.length = 0;
  fire('endTask', { execution: { task: { definition: { type: 'shell' } } } });
  assert.deepEqual(pushed.sent, []);
  fire('endTask', { execution: { task: { definition: { type: 'patchlang' } } } });
  assert.deepEqual(pushed.sent, [['set', 'file:///rigs/inputs.rig', ['a finding']]]);

  // What a task said of a file goes when the file is opened.
  fire('openDocument', { languageId: 'rig', uri: closed });
  assert.deepEqual(pushed.sent.at(-1), ['delete', 'file:///rigs/inputs.rig']);
  assert.deepEqual([...pushed], []);

  provider.dispose(pushed, 'push');
  assert.ok(pushed.isDisposed);
  fire('endTask', { execution: { task: { definition: { type: 'patchlang' } } } });
  assert.equal(seen.collections.length, 2);
  await settled();
});

test('the owner is the one that the problem matcher names', async () => {
  const { owner } = await load('problems.ts', { vscode: editor().vscode });
  const { default: manifest } = await import('../package.json', { with: { type: 'json' } });
  const [matcher] = manifest.contributes.problemMatchers;
  assert.deepEqual([matcher.owner, matcher.applyTo], [owner, 'closedDocuments']);
});
