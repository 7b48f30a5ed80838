// An editor for tests: as much of the module `vscode` as the extension uses, with nothing behind it. What the extension
// registers, shows and asks is kept, for the test to look at; `answers` says what the user does.
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';

export class EventEmitter {
  #listeners = new Set();
  event = (listener, self, disposables) => {
    const bound = self ? listener.bind(self) : listener;
    this.#listeners.add(bound);
    const subscription = { dispose: () => this.#listeners.delete(bound) };
    disposables?.push(subscription);
    return subscription;
  };
  fire(value) {
    for (const listener of [...this.#listeners]) listener(value);
  }
  dispose() {
    this.#listeners.clear();
  }
}

class Uri {
  constructor(scheme, pathOf, query = '', fragment = '') {
    Object.assign(this, { scheme, authority: '', path: pathOf, query, fragment });
  }
  static file = file => new Uri('file', file);
  static parse = text => {
    if (text.startsWith('file:')) return new Uri('file', fileURLToPath(text));
    const [, scheme, rest, query = '', fragment = ''] = /^([\w+.-]+):(?:\/\/)?([^?#]*)(?:\?([^#]*))?(?:#(.*))?$/.exec(text);
    return new Uri(scheme, decodeURIComponent(rest), decodeURIComponent(query), decodeURIComponent(fragment));
  };
  static from = ({ scheme, path: pathOf, query, fragment }) => new Uri(scheme, pathOf, query, fragment);
  static joinPath = (uri, ...parts) => uri.with({ path: path.posix.join(uri.path, ...parts) });
  get fsPath() {
    return this.path;
  }
  with(change) {
    const { scheme, path: pathOf, query, fragment } = { ...this, ...change };
    return new Uri(scheme, pathOf, query, fragment);
  }
  toString() {
    if (this.scheme === 'file') return pathToFileURL(this.path).href;
    return `${this.scheme}:${encodeURI(this.path)}${this.query && `?${encodeURIComponent(this.query)}`}${this.fragment && `#${encodeURIComponent(this.fragment)}`}`;
  }
}

class Position {
  constructor(line, character) {
    Object.assign(this, { line, character });
  }
}

class Range {
  constructor(...given) {
    const [startLine, startCharacter, endLine, endCharacter] = given.length === 2 ? given.flatMap(p => [p.line, p.character]) : given;
    this.start = new Position(startLine, startCharacter);
    this.end = new Position(endLine, endCharacter);
  }
  contains(position) {
    const isBefore = (a, b) => a.line < b.line || (a.line === b.line && a.character <= b.character);
    return isBefore(this.start, position) && isBefore(position, this.end);
  }
}

class CancellationTokenSource {
  #emitter = new EventEmitter();
  token = { isCancellationRequested: false, onCancellationRequested: this.#emitter.event };
  cancel() {
    this.token.isCancellationRequested = true;
    this.#emitter.fire();
  }
  dispose() {}
}

/** A document with text; `lines` of it are what the extension reads. */
export function documentOf(uri, text, more = {}) {
  const lines = text.split('\n');
  return {
    uri,
    languageId: 'rig',
    version: 1,
    isDirty: false,
    isUntitled: uri.scheme === 'untitled',
    fileName: uri.fsPath,
    lineCount: lines.length,
    getText: () => text,
    lineAt: line => ({ text: lines[typeof line === 'number' ? line : line.line] }),
    save: async () => true,
    ...more,
  };
}

class Collection {
  constructor(name) {
    this.name = name;
    this.found = new Map();
    this.sent = [];
  }
  set(uri, found) {
    this.found.set(uri.toString(), [uri, found]);
    this.sent.push(['set', uri.toString(), found]);
  }
  delete(uri) {
    this.found.delete(uri.toString());
    this.sent.push(['delete', uri.toString()]);
  }
  clear() {
    this.found.clear();
  }
  dispose() {
    this.isDisposed = true;
  }
  [Symbol.iterator]() {
    return this.found.values();
  }
}

export function editor({ settings = {}, folders = [], isTrusted = true } = {}) {
  const events = {};
  const on = name => (events[name] ??= new EventEmitter()).event;
  const seen = { messages: [], items: [], executed: [], opened: [], panels: [], logged: [], collections: [], picks: [], inputs: [], dialogs: [], progress: [], written: [] };
  // What the user does: a value, or a function of what was shown.
  const answers = { message: undefined, pick: undefined, input: undefined, openDialog: undefined, confirm: true };
  const answer = (name, ...shown) => (typeof answers[name] === 'function' ? answers[name](...shown) : answers[name]);
  const registered = new Map();
  const log = level => (...text) => seen.logged.push([level, text.join(' ')]);
  const message = level => async (text, ...rest) => {
    seen.messages.push([level, text]);
    return answer('message', text, rest.filter(r => typeof r === 'string' || r?.title));
  };
  const disposable = () => ({ dispose() {} });

  const vscode = {
    EventEmitter,
    Uri,
    Position,
    Range,
    Location: class {
      constructor(uri, range) {
        Object.assign(this, { uri, range });
      }
    },
    CancellationTokenSource,
    ThemeColor: class {
      constructor(id) {
        this.id = id;
      }
    },
    ThemeIcon: class {
      constructor(id) {
        this.id = id;
      }
    },
    MarkdownString: class {
      constructor(value = '') {
        this.value = value;
      }
    },
    DocumentLink: class {
      constructor(range, target) {
        Object.assign(this, { range, target });
      }
    },
    Selection: class extends Range {},
    TestMessage: class {
      constructor(text) {
        this.message = text;
      }
    },
    TestRunRequest: class {
      constructor(include, exclude, profile, continuous, preserveFocus) {
        Object.assign(this, { include, exclude, profile, continuous, preserveFocus });
      }
    },
    TestTag: class {},
    TestRunProfileKind: { Run: 1, Debug: 2, Coverage: 3 },
    StatusBarAlignment: { Left: 1, Right: 2 },
    ViewColumn: { Active: -1, Beside: -2, One: 1, Two: 2 },
    ProgressLocation: { Notification: 15, Window: 10 },
    QuickPickItemKind: { Separator: -1, Default: 0 },
    DiagnosticSeverity: { Error: 0, Warning: 1, Information: 2, Hint: 3 },
    UIKind: { Desktop: 1, Web: 2 },
    TaskGroup: { Build: 'build' },
    Task: class {
      constructor(definition, scope, name, source, execution, problemMatchers) {
        Object.assign(this, { definition, scope, name, source, execution, problemMatchers });
      }
    },
    ProcessExecution: class {
      constructor(process, args, options) {
        Object.assign(this, { process, args, options });
      }
    },
    env: {
      uiKind: 1,
      remoteName: undefined,
      openExternal: async uri => {
        seen.opened.push(['external', uri.toString()]);
        return true;
      },
    },
    commands: {
      registerCommand: (name, run) => {
        if (registered.has(name)) throw new Error(`command '${name}' already exists`);
        registered.set(name, run);
        return { dispose: () => registered.delete(name) };
      },
      executeCommand: async (name, ...given) => {
        seen.executed.push([name, ...given]);
        return registered.get(name)?.(...given);
      },
    },
    languages: {
      createDiagnosticCollection: name => {
        const collection = new Collection(name);
        seen.collections.push(collection);
        return collection;
      },
      getDiagnostics: () => [],
      registerDocumentLinkProvider: (selector, provider) => {
        seen.linkProvider = { selector, provider };
        return disposable();
      },
    },
    tasks: { onDidEndTask: on('endTask'), registerTaskProvider: disposable },
    tests: {
      createTestController: (id, label) => {
        const collection = () => {
          const items = new Map();
          return {
            get size() {
              return items.size;
            },
            get: key => items.get(key),
            add: item => items.set(item.id, item),
            delete: key => items.delete(key),
            replace: all => {
              items.clear();
              for (const item of all) items.set(item.id, item);
            },
            forEach: each => items.forEach(item => each(item)),
            [Symbol.iterator]: () => items.entries(),
          };
        };
        const controller = {
          id,
          label,
          items: collection(),
          profiles: [],
          runs: [],
          createTestItem: (key, name, uri) => ({ id: key, label: name, uri, children: collection() }),
          createRunProfile: (name, kind, run, isDefault, tag, canRunOn) => {
            const profile = { name, kind, run, isDefault, tag, supportsContinuousRun: canRunOn };
            controller.profiles.push(profile);
            return profile;
          },
          createTestRun: (request, name, persist) => {
            const run = { request, name, persist, results: [], output: '', isEnded: false, token: new CancellationTokenSource().token };
            for (const state of ['enqueued', 'started', 'skipped', 'passed']) run[state] = (item, duration) => run.results.push([state, item.id, duration]);
            run.failed = (item, found) => run.results.push(['failed', item.id, found]);
            run.appendOutput = text => (run.output += text);
            run.end = () => (run.isEnded = true);
            controller.runs.push(run);
            return run;
          },
          dispose: () => (controller.isDisposed = true),
        };
        seen.controller = controller;
        return controller;
      },
    },
    window: {
      visibleTextEditors: [],
      activeTextEditor: undefined,
      onDidChangeVisibleTextEditors: on('visibleEditors'),
      onDidChangeActiveTextEditor: on('activeEditor'),
      onDidChangeTextEditorSelection: on('selection'),
      createOutputChannel: () => ({ info: log('info'), warn: log('warn'), error: log('error'), show: () => seen.opened.push(['log']), dispose() {} }),
      createStatusBarItem: (id, alignment, priority) => {
        const item = { id, alignment, priority, isShown: false, show: () => (item.isShown = true), hide: () => (item.isShown = false), dispose: () => (item.isDisposed = true) };
        seen.items.push(item);
        return item;
      },
      showErrorMessage: message('error'),
      showWarningMessage: message('warning'),
      showInformationMessage: message('information'),
      showQuickPick: async (items, options) => {
        const shown = await items;
        seen.picks.push([shown, options]);
        return answer('pick', shown, options);
      },
      showInputBox: async options => {
        seen.inputs.push(options);
        return answer('input', options);
      },
      showOpenDialog: async options => {
        seen.dialogs.push(options);
        return answer('openDialog', options);
      },
      showSaveDialog: async options => {
        seen.dialogs.push(options);
        return answer('saveDialog', options);
      },
      withProgress: async (options, work) => {
        seen.progress.push(options);
        const source = new CancellationTokenSource();
        seen.cancel = () => source.cancel();
        return work({ report() {} }, source.token);
      },
      showTextDocument: async (document, options) => {
        seen.opened.push(['document', (document.uri ?? document).toString(), options]);
        return { document };
      },
      registerWebviewPanelSerializer: (type, serializer) => {
        seen.serializer = { type, serializer };
        return disposable();
      },
      createWebviewPanel: (type, title, column, options) => {
        const gone = new EventEmitter();
        const received = new EventEmitter();
        const panel = { type, title, column, options, viewColumn: 2, visible: true, sent: [], webview: { html: '', cspSource: 'https://webview.test', onDidReceiveMessage: received.event, asWebviewUri: uri => uri, postMessage: async value => panel.sent.push(value) }, onDidDispose: gone.event, reveal: () => (panel.isRevealed = true), dispose: () => gone.fire() };
        panel.receive = value => received.fire(value);
        seen.panels.push(panel);
        return panel;
      },
    },
    workspace: {
      isTrusted,
      workspaceFolders: folders.map((folder, index) => ({ uri: Uri.file(folder), name: path.basename(folder), index })),
      getWorkspaceFolder: uri => vscode.workspace.workspaceFolders.find(f => uri.fsPath.startsWith(`${f.uri.fsPath}/`)),
      textDocuments: [],
      onDidOpenTextDocument: on('openDocument'),
      onDidCloseTextDocument: on('closeDocument'),
      onDidSaveTextDocument: on('saveDocument'),
      onDidChangeTextDocument: on('changeDocument'),
      onDidChangeConfiguration: on('configuration'),
      onDidGrantWorkspaceTrust: on('trust'),
      getConfiguration: section => ({ get: (key, otherwise) => settings[section ? `${section}.${key}` : key] ?? otherwise }),
      registerTextDocumentContentProvider: (scheme, provider) => {
        seen.content = { scheme, provider };
        return disposable();
      },
      openTextDocument: async uri => documentOf(uri, (await seen.content?.provider.provideTextDocumentContent(uri)) ?? '', { languageId: 'plaintext' }),
      fs: {
        writeFile: async (uri, bytes) => {
          seen.written.push([uri.toString(), bytes]);
        },
      },
      asRelativePath: uri => {
        const folder = vscode.workspace.getWorkspaceFolder(uri);
        return folder ? path.relative(folder.uri.fsPath, uri.fsPath) : uri.fsPath;
      },
    },
  };
  return { vscode, seen, answers, settings, registered, fire: (name, value) => (events[name] ??= new EventEmitter()).fire(value) };
}

/** Lets all that waits for a promise go on. */
export const settled = () => new Promise(resolve => setTimeout(resolve, 5));
