// Findings among the editor's problems. The task `patchlang check` finds the same as the server, and nothing may stand there twice.
// The editor replaces problems of the same owner and file by newer ones, and a task of ours speaks of closed files alone
// (`applyTo: closedDocuments`). So the server's findings in closed files, which are pushed, have the task's owner; those of open files,
// which the client pulls, have one of their own.
import * as vscode from 'vscode';
import type { DiagnosticCollectionProvider } from 'vscode-languageclient/node';
import { taskType } from './checkArguments';

/** The owner that the problem matcher in package.json names. */
export const owner = 'patchlang';

export class SharedProblems implements DiagnosticCollectionProvider {
  private pushed: vscode.DiagnosticCollection | undefined;
  private readonly listeners = [
    // What a task said of a file is old as soon as the file is open.
    vscode.workspace.onDidOpenTextDocument(document => document.languageId === 'rig' && this.pushed?.delete(document.uri)),
    // A task that ends clears its owner's problems in all closed files, also in those that it did not look at.
    vscode.tasks.onDidEndTask(({ execution }) => execution.task.definition.type === taskType && this.sayAgain()),
  ];

  create(_name: string | undefined, source: string): vscode.DiagnosticCollection {
    if (source !== 'push') return vscode.languages.createDiagnosticCollection(`${owner}-open`);
    return (this.pushed = vscode.languages.createDiagnosticCollection(owner));
  }

  dispose(collection: vscode.DiagnosticCollection): void {
    if (collection === this.pushed) this.pushed = undefined;
    collection.dispose();
  }

  /** Ends the watch; the client has disposed of the collections by then. */
  end(): void {
    for (const listener of this.listeners) listener.dispose();
  }

  private sayAgain(): void {
    const pushed = this.pushed;
    if (!pushed) return;
    for (const [uri, found] of [...pushed]) pushed.set(uri, found);
  }
}
