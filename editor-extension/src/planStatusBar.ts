// The plan of the active editor in the status bar: what is found, who gives the time, the rate.
import * as vscode from 'vscode';
import { showStatus, type PlanStatus } from './planStatus';
import { nameOf } from './promises';
import type { Session } from './session';

export class PlanStatusBar implements vscode.Disposable {
  private readonly item = vscode.window.createStatusBarItem('patchlang.plan', vscode.StatusBarAlignment.Right, 101);
  private readonly subscriptions: readonly vscode.Disposable[];
  /** Which refresh is the newest: an answer to an older one is dropped. */
  private newest = 0;

  constructor(private readonly session: Session) {
    this.item.name = 'PatchLang plan';
    this.item.command = 'workbench.actions.view.problems';
    const refresh = () => void this.refresh();
    this.subscriptions = [this.item, vscode.window.onDidChangeActiveTextEditor(refresh), vscode.window.onDidChangeVisibleTextEditors(refresh), session.onDidChangePlans(refresh)];
    void this.refresh();
  }

  dispose(): void {
    for (const each of this.subscriptions) each.dispose();
  }

  private async refresh(): Promise<void> {
    const mine = ++this.newest;
    // While a drawing or another page has the focus, the plan beside it is meant.
    const [document] = [vscode.window.activeTextEditor ?? vscode.window.visibleTextEditors].flat().map(editor => editor.document).filter(each => each.languageId === 'rig');
    const uri = document?.uri.toString();
    const status = uri === undefined ? undefined : await this.session.ask<PlanStatus>('patchlang/status', { uri });
    if (mine !== this.newest) return;
    if (!status) {
      this.item.hide();
      return;
    }
    const shown = showStatus(status, nameOf(status.plan));
    this.item.text = shown.text;
    this.item.tooltip = shown.tooltip;
    this.item.accessibilityInformation = { label: shown.label, role: 'button' };
    this.item.show();
  }
}
