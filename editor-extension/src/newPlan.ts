// "Start a New Plan": a small plan with remarks, in an empty folder.
import * as fs from 'node:fs/promises';
import * as path from 'node:path';
import * as vscode from 'vscode';
import type { Program } from './program';
import { sayError } from './run';

export class NewPlan {
  constructor(private readonly program: Program) {}

  async start(): Promise<void> {
    const folder = await askEmptyFolder();
    if (!folder) return;
    const outcome = await this.program.run('Writing a plan to start from', ['new', folder], path.dirname(folder));
    if (!outcome) return;
    const plan = (await fs.readdir(folder)).find(file => file.endsWith('.rig'));
    if (plan) await vscode.window.showTextDocument(vscode.Uri.file(path.join(folder, plan)));
    if (vscode.workspace.getWorkspaceFolder(vscode.Uri.file(path.join(folder, 'plan.rig')))) return;
    const open = 'Open the Folder';
    const answer = await vscode.window.showInformationMessage('The plan is written. Open its folder to have all of it at hand.', open);
    if (answer === open) await vscode.commands.executeCommand('vscode.openFolder', vscode.Uri.file(folder));
  }
}

async function askEmptyFolder(): Promise<string | undefined> {
  const first = vscode.workspace.workspaceFolders?.find(folder => folder.uri.scheme === 'file')?.uri.fsPath;
  if (first && (await entryOf(first)) === undefined) return first;
  const [chosen] = (await vscode.window.showOpenDialog({ canSelectFolders: true, canSelectFiles: false, canSelectMany: false, openLabel: 'Start Here', title: 'A folder for the new plan', ...(first && { defaultUri: vscode.Uri.file(first) }) })) ?? [];
  if (!chosen) return undefined;
  try {
    const entry = await entryOf(chosen.fsPath);
    if (entry === undefined) return chosen.fsPath;
    // Nothing of the user's is written over: the plan goes into a folder of its own.
    const name = await vscode.window.showInputBox({
      title: 'Start a New Plan',
      prompt: `${path.basename(chosen.fsPath)} is not empty (${entry} is in it). A name for a new folder in it:`,
      value: 'my-rig',
      validateInput: checkFolderName,
    });
    return name && path.join(chosen.fsPath, name.trim());
  } catch (error) {
    void vscode.window.showErrorMessage(`${chosen.fsPath} could not be read: ${sayError(error)}`);
    return undefined;
  }
}

/** The first thing in a folder, or undefined. */
async function entryOf(folder: string): Promise<string | undefined> {
  return (await fs.readdir(folder)).sort()[0];
}

/** Why a name is none for a folder, or undefined. */
export function checkFolderName(typed: string): string | undefined {
  const name = typed.trim();
  if (name === '') return 'It is empty.';
  return /[\\/:*?"<>|\p{Cc}]/u.test(name) || /^\.+$/.test(name) || name.startsWith('-') ? 'A folder cannot be called so.' : undefined;
}
