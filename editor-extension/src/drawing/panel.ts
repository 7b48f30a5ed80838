// The drawing beside the editor: one panel, which follows the plan that is edited.
import * as path from 'node:path';
import { randomBytes } from 'node:crypto';
import * as vscode from 'vscode';
import { sayError } from '../run';
import type { Session } from '../session';
import { Latest } from './latest';
import type { FromView, ToView, ViewState } from './messages';
import { pageOf } from './page';
import { requests, type DrawingFile, type DrawingParams, type DrawingResult, type LitThings } from './requests';
import { shifted } from './shift';

/** How long to wait for more of the same before the server is asked, in milliseconds. */
const soon = 15;

/** The picture that the view shows, and where its things are now. */
interface Shown {
  readonly result: DrawingResult;
  readonly svg: string;
  readonly things: Map<string, vscode.Location>;
}

export class DrawingPanel implements vscode.WebviewPanelSerializer, vscode.Disposable {
  static readonly viewType = 'patchlang.drawing';

  private readonly drawing = new Latest<{ readonly asItStands: boolean }>(({ asItStands }) => this.draw(asItStands), soon, error => this.log(error));
  private readonly lighting = new Latest<void>(() => this.light(), soon, error => this.log(error));
  private readonly subscriptions: vscode.Disposable[] = [];
  private panel: vscode.WebviewPanel | undefined;
  private state: ViewState = { kind: 'rig' };
  private shown: Shown | undefined;
  private trouble: vscode.Location | undefined;
  /** Who waits for the pixels that the view makes. */
  private pixels: ((message: Extract<FromView, { type: 'pixels' }>) => void) | undefined;

  /**
   * @param home The extension's folder.
   * @param session Whom it asks.
   */
  constructor(
    private readonly home: vscode.Uri,
    private readonly session: Session
  ) {
    this.subscriptions.push(
      session.onDidChangePlans(plans => {
        if (!plans || !this.shown || plans.includes(this.shown.result.plan)) this.refresh();
      }),
      vscode.window.onDidChangeActiveTextEditor(editor => this.follow(editor)),
      vscode.window.onDidChangeTextEditorSelection(({ textEditor }) => {
        if (isPlan(textEditor.document) && textEditor.document.uri.toString() === this.state.document) this.lighting.ask();
      }),
      vscode.workspace.onDidChangeTextDocument(({ document, contentChanges }) => this.shift(document.uri, contentChanges))
    );
  }

  /** Opens the view beside the editor, or shows the one that is open. */
  show(): void {
    this.follow(vscode.window.activeTextEditor);
    if (this.panel) return this.panel.reveal(undefined, true);
    this.take(
      vscode.window.createWebviewPanel(DrawingPanel.viewType, 'Drawing', { viewColumn: vscode.ViewColumn.Beside, preserveFocus: true }, { enableFindWidget: false })
    );
  }

  /** Takes up a view that was open when the editor was left. */
  async deserializeWebviewPanel(panel: vscode.WebviewPanel, kept: { state?: ViewState } | undefined): Promise<void> {
    this.panel?.dispose();
    if (kept?.state) this.state = kept.state;
    this.take(panel);
  }

  /** Draws anew, if the view is open; what is shown stays while the text can't be made out. */
  refresh(): void {
    if (this.panel?.visible) this.drawing.ask({ asItStands: false });
  }

  dispose(): void {
    this.drawing.dispose();
    this.lighting.dispose();
    this.panel?.dispose();
    for (const each of this.subscriptions) each.dispose();
  }

  private take(panel: vscode.WebviewPanel): void {
    this.panel = panel;
    this.shown = undefined;
    const files = vscode.Uri.joinPath(this.home, 'dist');
    const address = (name: string) => panel.webview.asWebviewUri(vscode.Uri.joinPath(files, name)).toString();
    panel.webview.options = { enableScripts: true, localResourceRoots: [files] };
    panel.iconPath = { light: vscode.Uri.joinPath(this.home, 'icons/plan-light.svg'), dark: vscode.Uri.joinPath(this.home, 'icons/plan-dark.svg') };
    panel.webview.onDidReceiveMessage((message: FromView) =>
      this.hear(message).catch(error => {
        this.log(error);
        void vscode.window.showErrorMessage(`The drawing: ${sayError(error)}`);
      })
    );
    panel.onDidDispose(() => {
      if (this.panel === panel) this.panel = this.shown = undefined;
    });
    panel.webview.html = pageOf({ script: address('view.js'), style: address('view.css'), source: panel.webview.cspSource, nonce: randomBytes(24).toString('base64url') });
  }

  private async hear(message: FromView): Promise<void> {
    switch (message.type) {
      case 'ready':
        // The page is new, also when the view only was out of sight.
        this.shown = undefined;
        this.state = { ...message.state, document: this.state.document ?? message.state.document };
        this.follow(vscode.window.activeTextEditor);
        this.drawing.ask({ asItStands: true });
        break;
      case 'choose':
        this.state = { ...this.state, kind: message.kind, act: message.act };
        this.drawing.ask({ asItStands: true });
        break;
      case 'draw':
        this.drawing.ask({ asItStands: true });
        break;
      case 'go':
        await this.go(this.shown?.things.get(message.id));
        break;
      case 'goToTrouble':
        await this.go(this.trouble);
        break;
      case 'save':
        await this.save(message.format);
        break;
      case 'pixels':
        this.pixels?.(message);
        break;
    }
  }

  /** Follows the editor from plan to plan; what is no plan leaves the drawing as it is. */
  private follow(editor: vscode.TextEditor | undefined): void {
    if (!editor || !isPlan(editor.document)) return;
    const document = editor.document.uri.toString();
    if (document === this.state.document) return;
    this.state = { ...this.state, document };
    this.refresh();
  }

  private async draw(asItStands: boolean): Promise<void> {
    const { panel, state } = this;
    if (!panel?.visible) return;
    if (!state.document) return this.sayNone('Open a plan, a .rig file: its drawing is shown here.');
    const uri = vscode.Uri.parse(state.document);
    try {
      // A document that only a view kept from earlier speaks of is not open yet.
      if (!this.document) await vscode.workspace.openTextDocument(uri);
    } catch (error) {
      this.log(error);
      return this.sayNone(`${path.posix.basename(uri.path)} can’t be opened.`);
    }
    const before = asItStands || !this.shown || this.shown.result.kind !== state.kind ? undefined : this.shown.result;
    const result = await this.session.ask<DrawingResult>(requests.drawing, { ...this.question(), mostErrors: before?.errors });
    // What was chosen meanwhile, or another plan, is drawn next.
    if (panel !== this.panel || state.kind !== this.state.kind || state.act !== this.state.act || state.document !== this.state.document) return;
    if (!result) return this.shown ? undefined : this.sayNone('There is no drawing yet: the server is not there, or has read no plan with this document.');
    if (before && !result.svg && result.plan !== before.plan) return this.draw(true);
    if (result.svg === undefined) {
      this.trouble = result.reasonAt && new vscode.Location(vscode.Uri.parse(result.reasonAt.uri), rangeOf(result.reasonAt.range));
      if (before && this.trouble) this.tell({ type: 'held', words: `Shown as it was before line ${this.trouble.range.start.line + 1} of ${path.posix.basename(this.trouble.uri.path)}: ${result.reason}.` });
      else this.sayNone(result.reason ?? '');
      return;
    }
    this.trouble = undefined;
    this.shown = { result, svg: result.svg, things: new Map(result.things?.map(thing => [thing.id, new vscode.Location(vscode.Uri.parse(thing.uri), rangeOf(thing.range))])) };
    this.state = { ...this.state, plan: result.plan, of: result.of ?? this.state.of, act: result.act };
    panel.title = `Drawing: ${path.posix.basename(vscode.Uri.parse(result.plan).path)}`;
    this.tell({
      type: 'picture',
      state: this.state,
      title: result.title ?? '',
      acts: result.acts,
      svg: result.svg,
      style: result.style ?? '',
      links: [...this.shown.things.keys()],
      ids: result.lit?.ids ?? [],
      words: result.lit?.words ?? '',
    });
  }

  private async light(): Promise<void> {
    if (!this.panel?.visible || !this.shown || this.trouble) return;
    const document = this.document;
    const shown = this.shown;
    const lit = await this.session.ask<LitThings>(requests.wayAt, this.question());
    // While the text changes its drawing is on its way, and lights what it has to.
    if (!lit || shown !== this.shown || lit.version !== document?.version || lit.version !== shown.result.version) return;
    if (lit.of !== shown.result.of) this.drawing.ask({ asItStands: false });
    else this.tell({ type: 'lit', ids: lit.ids, words: lit.words });
  }

  /** What the server is asked: about the plan that is followed, at its cursor. */
  private question(): DrawingParams {
    const { document, kind, act, of } = this.state;
    const editor = [vscode.window.activeTextEditor, ...vscode.window.visibleTextEditors].find(each => each?.document.uri.toString() === document);
    return {
      textDocument: { uri: document! },
      kind,
      act,
      of,
      position: editor && { line: editor.selection.active.line, character: editor.selection.active.character },
    };
  }

  /** The document whose plan is drawn, while it is open. */
  private get document(): vscode.TextDocument | undefined {
    return vscode.workspace.textDocuments.find(each => each.uri.toString() === this.state.document);
  }

  /** Moves the places that the picture leads to with the text. */
  private shift(uri: vscode.Uri, changes: readonly vscode.TextDocumentContentChangeEvent[]): void {
    const moved = (location: vscode.Location) => {
      if (location.uri.toString() !== uri.toString()) return location;
      let { start, end }: { start: { line: number; character: number }; end: { line: number; character: number } } = location.range;
      // Changes of one event are given from the last to the first.
      for (const { range, text } of changes) [start, end] = [shifted(start, range, text), shifted(end, range, text)];
      return new vscode.Location(uri, rangeOf({ start, end }));
    };
    for (const [id, location] of this.shown?.things ?? []) this.shown!.things.set(id, moved(location));
    this.trouble &&= moved(this.trouble);
  }

  private async go(to: vscode.Location | undefined): Promise<void> {
    if (!to) return;
    const open = vscode.window.visibleTextEditors.find(each => each.document.uri.toString() === to.uri.toString());
    const editors = vscode.window.visibleTextEditors.filter(each => each.viewColumn !== undefined && each.viewColumn !== this.panel?.viewColumn);
    await vscode.window.showTextDocument(to.uri, {
      selection: to.range,
      viewColumn: open?.viewColumn ?? editors.find(each => isPlan(each.document))?.viewColumn ?? editors[0]?.viewColumn ?? vscode.ViewColumn.One,
    });
  }

  private async save(format: 'svg' | 'png'): Promise<void> {
    const { panel, shown } = this;
    if (!panel || !shown) return;
    const { kind, of, act, plan } = shown.result;
    const file = await this.session.ask<DrawingFile>(requests.file, { ...this.question(), kind, act, of, position: undefined });
    if (!file) return;
    const root = vscode.Uri.parse(plan);
    const name = [path.posix.basename(root.path, '.rig'), ...(kind === 'rig' ? [] : [kind === 'feed' ? of : kind]), ...(act ? [act] : [])].join('-');
    const folder = root.scheme === 'file' ? vscode.Uri.joinPath(root, '..') : vscode.workspace.workspaceFolders?.[0]?.uri;
    const to = await vscode.window.showSaveDialog({
      title: 'Save the Drawing',
      defaultUri: folder && vscode.Uri.joinPath(folder, `${name}.${format}`),
      filters: format === 'svg' ? { 'SVG pictures': ['svg'] } : { 'PNG pictures': ['png'] },
    });
    if (!to) return;
    await vscode.workspace.fs.writeFile(to, format === 'svg' ? new TextEncoder().encode(file.svg) : await this.pixelsOf(file.forPaper));
  }

  private async pixelsOf(svg: string): Promise<Uint8Array> {
    const made = new Promise<Extract<FromView, { type: 'pixels' }>>(resolve => (this.pixels = resolve));
    this.tell({ type: 'pixels', svg });
    const { png, problem } = await made;
    if (!png) throw new Error(`the picture could not be made: ${problem ?? 'the view gave none'}`);
    return new Uint8Array(png);
  }

  private sayNone(words: string): void {
    this.shown = undefined;
    this.tell({ type: 'none', state: this.state, words });
  }

  private tell(message: ToView): void {
    void this.panel?.webview.postMessage(message);
  }

  private log(error: unknown): void {
    this.session.log.warn(`the drawing: ${sayError(error)}`);
  }
}

/** A plan that is edited; the shipped library is only read. */
function isPlan(document: vscode.TextDocument): boolean {
  return document.languageId === 'rig' && document.uri.scheme !== 'patchlang';
}

function rangeOf({ start, end }: { readonly start: { readonly line: number; readonly character: number }; readonly end: { readonly line: number; readonly character: number } }): vscode.Range {
  return new vscode.Range(start.line, start.character, end.line, end.character);
}
