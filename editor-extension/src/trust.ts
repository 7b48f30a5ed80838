// What writes to the disk, or asks git, is done in trusted folders alone: a repository can name programs that git runs.
import * as vscode from 'vscode';

export async function trusted(act: () => Promise<void>): Promise<void> {
  if (vscode.workspace.isTrusted) return act();
  const manage = 'Manage Trust';
  const answer = await vscode.window.showWarningMessage('This folder is not trusted, so plans in it are only read and checked.', manage);
  if (answer === manage) await vscode.commands.executeCommand('workbench.trust.manage');
}
