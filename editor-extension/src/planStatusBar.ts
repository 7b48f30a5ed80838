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
    this.subscriptions = [this.item, vscode.window.onDidChangeActiveTextEditor(() => void this.refresh()), session.onDidChangePlans(() => void this.refresh())];
    void this.refresh();
  }

  dispose(): void {
    for (const each of this.subscriptions) each.dispose();
  }

  private async refresh(): Promise<void> {
    const mine = ++this.newest;
    const document = vscode.window.activeTextEditor?.document;
    const uri = document?.languageId === 'rig' ? document.uri.toString() : undefined;
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
