// The extension: starts the language server, and gives the editor what is built on it.
import * as vscode from 'vscode';
import { taskType } from './checkArguments';
import { CheckTasks } from './checkTask';
import { commands } from './commands';
import { machineOf } from './machine';
import { findServer } from './serverLookup';
import { Session } from './session';

/** When the editor began to load this file; the bundle's first line says so. */
declare const loadedAt: number;

let session: Session | undefined;

export function activate(context: vscode.ExtensionContext): void {
  const began = performance.now();
  const lookup = () => findServer(machineOf(context));
  const current = (session = new Session(lookup));
  context.subscriptions.push(
    vscode.commands.registerCommand(commands.restart, () => current.restart()),
    vscode.commands.registerCommand(commands.showLog, () => current.log.show()),
    vscode.tasks.registerTaskProvider(taskType, new CheckTasks(lookup)),
    vscode.workspace.onDidChangeConfiguration(change => change.affectsConfiguration('patchlang.server.path') && current.restart()),
    // With trust the setting of the folder begins to count.
    vscode.workspace.onDidGrantWorkspaceTrust(() => current.restart())
  );
  // The server starts beside the editor: nobody waits for it here, and the log says how long it took.
  void current.start();
  const now = performance.now();
  current.log.info(`activated in ${(now - loadedAt).toFixed(0)} ms, ${(began - loadedAt).toFixed(0)} ms of it to load`);
}

export async function deactivate(): Promise<void> {
  await session?.end();
}
