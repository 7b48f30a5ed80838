// The task `patchlang check`. The editor runs tasks in trusted folders alone.
import * as vscode from 'vscode';
import { argumentsOf, taskType, type CheckDefinition } from './checkArguments';
import type { Lookup } from './serverLookup';

export class CheckTasks implements vscode.TaskProvider {
  constructor(private readonly lookup: () => Lookup) {}

  /** One task for each folder: all of its root plans. */
  provideTasks(): vscode.Task[] {
    return (vscode.workspace.workspaceFolders ?? []).flatMap(folder => this.taskOf({ type: taskType }, folder) ?? []);
  }

  resolveTask(task: vscode.Task): vscode.Task | undefined {
    const scope = task.scope;
    const folder = typeof scope === 'object' ? scope : vscode.workspace.workspaceFolders?.[0];
    // The definition has to be the very one that was given.
    return folder && this.taskOf(task.definition as CheckDefinition & vscode.TaskDefinition, folder);
  }

  private taskOf(definition: CheckDefinition & vscode.TaskDefinition, folder: vscode.WorkspaceFolder): vscode.Task | undefined {
    const server = this.lookup();
    if (!server.found) return undefined;
    const run = new vscode.ProcessExecution(server.command, [...server.arguments, ...argumentsOf(definition)], { cwd: folder.uri.fsPath });
    const task = new vscode.Task(definition, folder, 'check the plans', 'patchlang', run, '$patchlang');
    task.group = vscode.TaskGroup.Build;
    return task;
  }
}
