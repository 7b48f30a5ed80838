// The drawing beside the editor, as the extension keeps it: what it asks the server, what it tells the view, where a click leads.
import assert from 'node:assert/strict';
import test from 'node:test';
import { setTimeout as after } from 'node:timers/promises';
import { documentOf, editor, EventEmitter } from './editor.mjs';
import { load } from './typescript.mjs';

const plan = 'file:///quay/quay.rig';
const picture = (more = {}) => ({
  plan,
  kind: 'rig',
  errors: 0,
  acts: [],
  version: 1,
  title: 'Rig: Lantern Quay',
  svg: '<svg/>',
  style: '.drawing{}',
  things: [{ id: 'box-0', uri: plan, range: { start: { line: 4, character: 5 }, end: { line: 4, character: 9 } } }],
  lit: { ids: ['box-0'], words: 'Stage rack (rack): 1 connection', version: 1 },
  ...more,
});

/** A panel with a plan open, and a server that answers by `reply`. */
async function panelWith(reply, { language = 'rig' } = {}) {
  const host = editor();
  const changed = new EventEmitter();
  const asked = [];
  const session = {
    log: { warn: line => host.seen.logged.push(['warn', line]) },
    onDidChangePlans: changed.event,
    ask: async (method, params) => {
      asked.push([method, params]);
      return reply(method, params);
    },
  };
  const open = (uri, selection = { active: { line: 4, character: 7 } }) => {
    const document = documentOf(host.vscode.Uri.parse(uri), 'rig "Lantern Quay"\n', { languageId: language });
    const shown = { document, selection, viewColumn: 1 };
    host.vscode.workspace.textDocuments.push(document);
    host.vscode.window.visibleTextEditors = [shown];
    host.vscode.window.activeTextEditor = shown;
    host.fire('activeEditor', shown);
    return shown;
  };
  const { DrawingPanel } = await load('drawing/panel.ts', { vscode: host.vscode, 'vscode-languageclient/node': { LanguageClient: class {}, State: {} } });
  const drawing = new DrawingPanel(host.vscode.Uri.file('/ext'), session);
  const shown = open(plan);
  const panel = () => host.seen.panels.at(-1);
  const told = type => panel().sent.filter(message => message.type === type);
  /** Opens the view, and lets it say that it is ready. */
  const show = async () => {
    drawing.show();
    panel().receive({ type: 'ready', state: { kind: 'rig' } });
    await until(() => panel().sent.length > 0);
  };
  return { ...host, drawing, open, shown, asked, changed, panel, told, show };
}

async function until(holds) {
  for (let i = 0; i < 200; i++) {
    if (holds()) return;
    await after(5);
  }
  assert.fail(`never: ${holds}`);
}

const asksFor = (asked, method) => asked.filter(([name]) => name === `patchlang/${method}`).map(([, params]) => params);

test('it opens beside the editor, leaves the focus there, and loads nothing but its own files', async () => {
  const { show, panel, told, asked } = await panelWith(() => picture());
  await show();
  assert.equal(panel().type, 'patchlang.drawing');
  assert.deepEqual(panel().column, { viewColumn: -2, preserveFocus: true });
  assert.deepEqual(panel().webview.options.localResourceRoots.map(String), ['file:///ext/dist']);
  assert.match(panel().webview.html, /script-src 'nonce-[\w-]{20,}'; style-src https:\/\/webview\.test;/);
  assert.deepEqual(asksFor(asked, 'drawing'), [{ textDocument: { uri: plan }, kind: 'rig', act: undefined, of: undefined, position: { line: 4, character: 7 }, mostErrors: undefined }]);
  const [{ links, ids, words, title }] = told('picture');
  assert.deepEqual({ links, ids, words, title }, { links: ['box-0'], ids: ['box-0'], words: 'Stage rack (rack): 1 connection', title: 'Rig: Lantern Quay' });
  assert.equal(panel().title, 'Drawing: quay.rig');
});

test('asked for again, the one that is open is shown', async () => {
  const { drawing, show, panel, seen } = await panelWith(() => picture());
  await show();
  drawing.show();
  assert.equal(seen.panels.length, 1);
  assert.ok(panel().isRevealed);
});

test('when its plan changes it is drawn anew, with the errors that may stand; when another does it is not', async () => {
  const { show, changed, asked, told } = await panelWith(() => picture({ errors: 2 }));
  await show();
  changed.fire(['file:///other/other.rig']);
  await after(40);
  assert.equal(asksFor(asked, 'drawing').length, 1);
  changed.fire([plan]);
  await until(() => told('picture').length === 2);
  assert.equal(asksFor(asked, 'drawing')[1].mostErrors, 2);
});

test('while the text can not be made out the picture stays, and its things lead to where they are now', async () => {
  let isBroken = false;
  const reason = { svg: undefined, things: undefined, reason: 'there is no unit `rak`', reasonAt: { uri: plan, range: { start: { line: 8, character: 0 }, end: { line: 8, character: 3 } } } };
  const { show, changed, told, panel, seen, fire, shown, asked } = await panelWith(() => (isBroken ? picture(reason) : picture()));
  await show();
  isBroken = true;
  changed.fire([plan]);
  await until(() => told('held').length === 1);
  assert.equal(told('held')[0].words, 'Shown as it was before line 9 of quay.rig: there is no unit `rak`.');
  assert.equal(told('none').length, 0);
  // Two lines more at the top of the text.
  fire('changeDocument', { document: shown.document, contentChanges: [{ range: { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } }, text: '\n\n' }] });
  panel().receive({ type: 'go', id: 'box-0' });
  panel().receive({ type: 'goToTrouble' });
  await until(() => seen.opened.length === 2);
  const lines = seen.opened.map(([, uri, { selection, viewColumn }]) => [uri, selection.start.line, viewColumn]);
  assert.deepEqual(lines, [[plan, 6, 1], [plan, 10, 1]]);
  // Nothing is lit by numbers that the picture does not have.
  fire('selection', { textEditor: shown });
  await after(40);
  assert.equal(asksFor(asked, 'wayAt').length, 0);
  panel().receive({ type: 'draw' });
  await until(() => asksFor(asked, 'drawing').length === 3);
  assert.equal(asksFor(asked, 'drawing')[2].mostErrors, undefined);
});

test('what is held back of another plan is drawn after all', async () => {
  const other = 'file:///other/other.rig';
  const reply = (method, { textDocument, mostErrors }) =>
    textDocument.uri === plan ? picture() : mostErrors === undefined ? picture({ plan: other, errors: 3 }) : picture({ plan: other, errors: 3, svg: undefined, reason: 'there is no unit `rak`' });
  const { show, open, told } = await panelWith(reply);
  await show();
  open(other);
  await until(() => told('picture').length === 2);
  assert.equal(told('picture')[1].state.plan, other);
  assert.equal(told('held').length, 0);
});

test('the cursor moves: what belongs to it is lit, without a new drawing', async () => {
  const { show, asked, told, fire, shown } = await panelWith(method => (method === 'patchlang/wayAt' ? { ids: ['line-3'], words: 'lead', version: 1 } : picture()));
  await show();
  for (let line = 0; line < 5; line++) fire('selection', { textEditor: { ...shown, selection: { active: { line, character: 0 } } } });
  await until(() => told('lit').length === 1);
  assert.deepEqual(told('lit'), [{ type: 'lit', ids: ['line-3'], words: 'lead' }]);
  assert.equal(asksFor(asked, 'wayAt').length, 1);
  assert.equal(asksFor(asked, 'drawing').length, 1);
});

test('an answer about a text that has gone on is not used', async () => {
  const { show, told, fire, shown, asked } = await panelWith(method => (method === 'patchlang/wayAt' ? { ids: ['line-3'], words: 'lead', version: 2 } : picture()));
  await show();
  fire('selection', { textEditor: shown });
  await until(() => asksFor(asked, 'wayAt').length === 1);
  await after(20);
  assert.equal(told('lit').length, 0);
});

test('the cursor comes to another feed: its way is drawn', async () => {
  let of = 'lead';
  const { show, told, panel, fire, shown, asked } = await panelWith((method, { kind }) =>
    method === 'patchlang/wayAt' ? { ids: [], words: '', version: 1, of } : picture(kind === 'feed' ? { kind, of } : {})
  );
  await show();
  panel().receive({ type: 'choose', kind: 'feed' });
  await until(() => told('picture').length === 2);
  of = 'kick';
  fire('selection', { textEditor: shown });
  await until(() => told('picture').length === 3);
  assert.equal(told('picture')[2].state.of, 'kick');
  assert.equal(asksFor(asked, 'drawing').at(-1).of, 'lead');
});

test('without a feed, a server, or a plan it says so', async () => {
  const { show, told, panel, drawing } = await panelWith((method, { kind }) => (kind === 'feed' ? picture({ kind, svg: undefined, reason: 'Put the cursor on a feed: its way is drawn here.' }) : undefined));
  await show();
  assert.match(told('none')[0].words, /^There is no drawing yet/);
  panel().receive({ type: 'choose', kind: 'feed' });
  await until(() => told('none').length === 2);
  assert.equal(told('none')[1].words, 'Put the cursor on a feed: its way is drawn here.');
  drawing.dispose();
  const elsewhere = await panelWith(() => picture(), { language: 'markdown' });
  await elsewhere.show();
  assert.match(elsewhere.told('none')[0].words, /^Open a plan/);
});

test('a view from before the restart is drawn again, though its plan is in no editor', async () => {
  const { drawing, vscode, asked, told } = await panelWith(() => picture({ kind: 'clocks' }));
  const panel = vscode.window.createWebviewPanel('patchlang.drawing', 'Drawing');
  vscode.window.activeTextEditor = undefined;
  vscode.window.visibleTextEditors = [];
  vscode.workspace.textDocuments = [];
  const state = { document: plan, plan, kind: 'clocks' };
  await drawing.deserializeWebviewPanel(panel, { state });
  panel.receive({ type: 'ready', state });
  await until(() => told('picture').length === 1);
  assert.deepEqual(asksFor(asked, 'drawing')[0], { textDocument: { uri: plan }, kind: 'clocks', act: undefined, of: undefined, position: undefined, mostErrors: undefined });
});

test('of a plan that is gone it says so', async () => {
  const { drawing, vscode, asked, told } = await panelWith(() => picture());
  const panel = vscode.window.createWebviewPanel('patchlang.drawing', 'Drawing');
  vscode.window.activeTextEditor = undefined;
  vscode.workspace.openTextDocument = async () => {
    throw new Error('no such file');
  };
  const state = { document: 'file:///gone/gone.rig', kind: 'rig' };
  await drawing.deserializeWebviewPanel(panel, { state });
  panel.receive({ type: 'ready', state });
  await until(() => told('none').length === 1);
  assert.equal(told('none')[0].words, 'gone.rig can’t be opened.');
  assert.equal(asked.length, 0);
});

test('a view out of sight is not drawn for', async () => {
  const { show, panel, changed, asked } = await panelWith(() => picture());
  await show();
  panel().visible = false;
  changed.fire([plan]);
  await after(40);
  assert.equal(asksFor(asked, 'drawing').length, 1);
});

test('it is saved as the file that the program writes, or as the pixels that the view makes of it', async () => {
  const { show, panel, seen, answers, vscode, told } = await panelWith((method, { kind }) =>
    method === 'patchlang/drawingFile' ? { svg: '<svg id="both"/>', forPaper: '<svg id="paper"/>' } : picture(kind === 'feed' ? { kind, of: 'lead', act: 'bells' } : {})
  );
  answers.saveDialog = ({ defaultUri }) => defaultUri;
  await show();
  panel().receive({ type: 'save', format: 'svg' });
  await until(() => seen.written.length === 1);
  assert.deepEqual([seen.written[0][0], new TextDecoder().decode(seen.written[0][1])], ['file:///quay/quay.svg', '<svg id="both"/>']);
  panel().receive({ type: 'choose', kind: 'feed', act: 'bells' });
  await until(() => told('picture').length === 2);
  panel().receive({ type: 'save', format: 'png' });
  await until(() => told('pixels').length === 1);
  assert.equal(told('pixels')[0].svg, '<svg id="paper"/>');
  panel().receive({ type: 'pixels', png: new Uint8Array([1, 2, 3]).buffer });
  await until(() => seen.written.length === 2);
  assert.deepEqual([seen.written[1][0], [...seen.written[1][1]]], ['file:///quay/quay-lead-bells.png', [1, 2, 3]]);
  panel().receive({ type: 'save', format: 'png' });
  await until(() => told('pixels').length === 2);
  panel().receive({ type: 'pixels', problem: 'the picture is too large' });
  await until(() => seen.messages.length === 1);
  assert.deepEqual(seen.messages[0], ['error', 'The drawing: the picture could not be made: the picture is too large']);
  answers.saveDialog = undefined;
  panel().receive({ type: 'save', format: 'svg' });
  await after(30);
  assert.equal(seen.written.length, 2);
});
