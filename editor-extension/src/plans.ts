// Which plan a command is about.
import * as path from 'node:path';
import * as vscode from 'vscode';
import type { PlanStatus } from './planStatus';
import type { Session } from './session';

/** A plan on the disk. */
export interface Plan {
  /** The full path of its root file. */
  readonly file: string;
  readonly folder: string;
  readonly name: string;
  /** How the program is told of it, in its folder. A name may begin with a dash. */
  readonly argument: string;
}

export class Plans implements vscode.Disposable {
  /** The plan that was worked on last: commands may come from a page that is in its place now. */
  private last = planDocument();
  private readonly editors = vscode.window.onDidChangeActiveTextEditor(() => {
    this.last = planDocument() ?? this.last;
  });

  constructor(private readonly session: Session) {}

  dispose(): void {
    this.editors.dispose();
  }

  /**
   * The plan of a document, else of the editor that is active or was last. Changes that are not saved are saved, since the program
   * reads the disk.
   * @returns undefined if there is none, which the user has been told
   */
  async saved(given?: vscode.Uri): Promise<Plan | undefined> {
    const uri = given ?? (planDocument() ?? this.last)?.uri;
    if (!uri) {
      void vscode.window.showInformationMessage('Open a plan first: a file that ends in .rig.');
      return undefined;
    }
    const root = await this.rootOf(uri);
    if (root.scheme !== 'file') {
      void vscode.window.showInformationMessage('This plan is not on the disk yet. Save it first.');
      return undefined;
    }
    const file = root.fsPath;
    const name = path.basename(file);
    const plan = { file, folder: path.dirname(file), name, argument: `./${name}` };
    return (await save(plan.folder)) ? plan : undefined;
  }

  /** The root of the plan that a document belongs to, as the server knows it; else the document itself. */
  private async rootOf(uri: vscode.Uri): Promise<vscode.Uri> {
    // The server knows the plans of open documents alone; one that is named in a list of files may not be open. If it cannot be read,
    // the program says why.
    await vscode.workspace.openTextDocument(uri).then(undefined, () => undefined);
    const status = await this.session.ask<PlanStatus>('patchlang/status', { uri: uri.toString() });
    return status ? vscode.Uri.parse(status.plan) : uri;
  }
}

/** The plan's document in the active editor, else in one that is in sight. */
export function planDocument(): vscode.TextDocument | undefined {
  const editors = [vscode.window.activeTextEditor, ...vscode.window.visibleTextEditors];
  return editors.find(editor => editor?.document.languageId === 'rig')?.document;
}

/** Saves the plans in a folder and below it. */
async function save(folder: string): Promise<boolean> {
  const inside = path.join(folder, path.sep);
  for (const document of vscode.workspace.textDocuments) {
    if (document.languageId !== 'rig' || !document.isDirty || document.uri.scheme !== 'file' || !document.uri.fsPath.startsWith(inside)) continue;
    if (await document.save()) continue;
    void vscode.window.showErrorMessage(`${path.basename(document.uri.fsPath)} could not be saved, so nothing was done.`);
    return false;
  }
  return true;
}
