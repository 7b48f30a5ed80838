// "Make the Sheets": what the crew holds in its hands, written into a folder.
import * as fs from 'node:fs/promises';
import * as path from 'node:path';
import * as vscode from 'vscode';
import type { Plans } from './plans';
import type { Program } from './program';
import type { Reports } from './report';
import { sayError } from './run';

/** The page that has all sheets on it. */
const pageName = 'sheets.html';

export class Sheets {
  constructor(
    private readonly plans: Plans,
    private readonly program: Program,
    private readonly reports: Reports
  ) {}

  async make(given?: vscode.Uri): Promise<void> {
    const plan = await this.plans.saved(given);
    if (!plan) return;
    const folder = await askFolder(path.join(plan.folder, 'sheets'));
    if (!folder) return;
    const outcome = await this.program.run(`Making the sheets of ${plan.name}`, ['sheets', plan.argument, '--to', folder], plan.folder);
    if (outcome) await this.offer(outcome.output.trim().split('\n')[0] ?? '', outcome.code === 0 ? undefined : outcome.output.trim().split('\n').slice(1).join(' '), path.join(folder, pageName), plan.folder);
  }

  /** Says what was written, and offers to open it. */
  private async offer(said: string, caution: string | undefined, page: string, planFolder: string): Promise<void> {
    const here = 'Show the Page';
    const print = 'Open to Print';
    const folder = 'Open the Folder';
    // Where the editor runs in a browser, or elsewhere, files cannot be handed to other programs.
    const isLocal = vscode.env.uiKind === vscode.UIKind.Desktop && vscode.env.remoteName === undefined;
    const offers = isLocal ? [here, print, folder] : [here];
    const answer = caution ? await vscode.window.showWarningMessage(`${said} ${caution}`, ...offers) : await vscode.window.showInformationMessage(said, ...offers);
    if (answer === print) await vscode.env.openExternal(vscode.Uri.file(page));
    else if (answer === folder) await vscode.commands.executeCommand('revealFileInOS', vscode.Uri.file(page));
    else if (answer === here) {
      try {
        this.reports.show('sheets', 'Sheets', await fs.readFile(page, 'utf8'), planFolder);
      } catch (error) {
        void vscode.window.showErrorMessage(`${page} could not be read: ${sayError(error)}`);
      }
    }
  }
}

/** Asks where to write. The first proposal need not be there yet. */
async function askFolder(proposed: string): Promise<string | undefined> {
  const beside: vscode.QuickPickItem = { label: path.basename(proposed), description: 'a folder beside the plan', detail: proposed };
  const other: vscode.QuickPickItem = { label: 'Another folder…' };
  const picked = await vscode.window.showQuickPick([beside, other], { title: 'Make the Sheets', placeHolder: 'Where to write them. Files of the same names are replaced.' });
  if (picked !== other) return picked && proposed;
  const [chosen] = (await vscode.window.showOpenDialog({ canSelectFolders: true, canSelectFiles: false, canSelectMany: false, openLabel: 'Write Here', defaultUri: vscode.Uri.file(path.dirname(proposed)) })) ?? [];
  return chosen?.fsPath;
}
