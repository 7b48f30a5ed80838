// The server's state in the status bar, while a plan is in sight.
import * as vscode from 'vscode';
import { commands } from './commands';
import { show, type ServerState } from './serverState';

export class StatusBar implements vscode.Disposable {
  private readonly item = vscode.window.createStatusBarItem('patchlang.server', vscode.StatusBarAlignment.Right, 100);
  private readonly editors = vscode.window.onDidChangeVisibleTextEditors(() => this.showOrHide());

  constructor() {
    this.item.name = 'PatchLang server';
    this.say('starting', '');
    this.showOrHide();
  }

  say(state: ServerState, detail: string): void {
    const shown = show(state, detail);
    this.item.text = shown.text;
    this.item.tooltip = shown.tooltip;
    this.item.accessibilityInformation = { label: shown.tooltip, role: 'button' };
    this.item.backgroundColor = shown.isError ? new vscode.ThemeColor('statusBarItem.errorBackground') : undefined;
    this.item.command = shown.isError ? commands.restart : commands.showLog;
  }

  dispose(): void {
    this.editors.dispose();
    this.item.dispose();
  }

  private showOrHide(): void {
    if (vscode.window.visibleTextEditors.some(editor => editor.document.languageId === 'rig')) this.item.show();
    else this.item.hide();
  }
}
