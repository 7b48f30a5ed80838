// "Explain a Finding": the page of a finding, which the server has as a document.
import * as vscode from 'vscode';
import { planDocument } from './plans';

interface CodeItem extends vscode.QuickPickItem {
  readonly code: string;
}

/** Shows the page of the finding under the cursor, or of one that the user chooses among those of all plans. */
export async function explainFinding(): Promise<void> {
  const editor = vscode.window.activeTextEditor;
  const here = editor?.document.languageId === 'rig' ? vscode.languages.getDiagnostics(editor.document.uri).find(found => codeOf(found) && found.range.contains(editor.selection.active)) : undefined;
  const code = (here && codeOf(here)) ?? (await askCode());
  if (code) await vscode.commands.executeCommand('markdown.showPreviewToSide', vscode.Uri.parse(`patchlang:/findings/${code}.md`));
}

async function askCode(): Promise<string | undefined> {
  const here = planDocument()?.uri.toString();
  const items = new Map<string, CodeItem>();
  for (const [uri, found] of vscode.languages.getDiagnostics())
    for (const each of found) {
      const code = codeOf(each);
      // What is found in the document in sight comes first, and names the code.
      if (code && (!items.has(code) || uri.toString() === here)) items.set(code, { code, label: code, detail: each.message.split('\n')[0] ?? '' });
    }
  if (items.size === 0) {
    void vscode.window.showInformationMessage('Nothing is found in the open plans, so there is nothing to explain.');
    return undefined;
  }
  const sorted = [...items.values()].sort((a, b) => (a.code < b.code ? -1 : 1));
  return (await vscode.window.showQuickPick(sorted, { title: 'Explain a Finding', placeHolder: 'Which finding?', matchOnDetail: true }))?.code;
}

/** The code of a finding of ours. */
function codeOf({ code }: vscode.Diagnostic): string | undefined {
  const value = typeof code === 'object' ? code.value : code;
  return typeof value === 'string' && /^PL\d{4}$/.test(value) ? value : undefined;
}
