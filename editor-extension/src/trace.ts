// "Trace from Here": what `patchlang trace` says of the point under the cursor, as a document to read.
import * as vscode from 'vscode';
import type { Plans } from './plans';
import { pointAt } from './pointAt';
import type { Program } from './program';

/** The scheme of the documents. */
export const traceScheme = 'patchlang-trace';

/** So many traces are kept: the editor may ask for one again whose tab was long out of sight. */
const most = 50;

export class Traces implements vscode.TextDocumentContentProvider, vscode.Disposable {
  private readonly texts = new Map<string, string>();
  private readonly changed = new vscode.EventEmitter<vscode.Uri>();
  readonly onDidChange = this.changed.event;
  private readonly subscriptions: readonly vscode.Disposable[];

  constructor(
    private readonly plans: Plans,
    private readonly program: Program
  ) {
    this.subscriptions = [this.changed, vscode.workspace.registerTextDocumentContentProvider(traceScheme, this)];
  }

  provideTextDocumentContent(uri: vscode.Uri): string {
    return this.texts.get(uri.toString()) ?? 'This trace is of an earlier session. Trace the point again.\n';
  }

  async fromHere(): Promise<void> {
    const point = await this.pointOfUser();
    if (!point) return;
    const plan = await this.plans.saved();
    if (!plan) return;
    const outcome = await this.program.run(`Tracing ${point}`, ['trace', '--', point, plan.argument], plan.folder);
    if (!outcome) return;
    const uri = vscode.Uri.from({ scheme: traceScheme, path: `/Trace of ${point.replaceAll('/', '∕')}`, query: plan.file });
    this.keep(uri, outcome.output);
    this.changed.fire(uri);
    const document = await vscode.workspace.openTextDocument(uri);
    await vscode.window.showTextDocument(document, { viewColumn: vscode.ViewColumn.Beside, preview: true, preserveFocus: false });
  }

  private keep(uri: vscode.Uri, text: string): void {
    this.texts.delete(uri.toString());
    this.texts.set(uri.toString(), text);
    const [oldest] = this.texts.keys();
    if (this.texts.size > most && oldest !== undefined) this.texts.delete(oldest);
  }

  dispose(): void {
    for (const each of this.subscriptions) each.dispose();
  }

  /** What is selected, else what is under the cursor, else what the user types. */
  private async pointOfUser(): Promise<string | undefined> {
    const editor = vscode.window.activeTextEditor;
    if (editor?.document.languageId === 'rig') {
      const { selection, document } = editor;
      const chosen = selection.isEmpty ? undefined : document.getText(selection).trim();
      const found = chosen && !chosen.includes('\n') ? chosen : pointAt(document.lineAt(selection.active.line).text, selection.active.character);
      if (found) return found;
    }
    const typed = await vscode.window.showInputBox({ title: 'Trace', prompt: 'A point or a feed, as the plan writes it', placeHolder: 'desk.ch[5]' });
    return typed?.trim() || undefined;
  }
}
