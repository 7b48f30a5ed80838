// Pages that the program writes, shown in the editor. They fetch nothing, and only what the program wrote into them counts; where they
// name a place in the plan, a click leads there.
import { randomBytes } from 'node:crypto';
import * as path from 'node:path';
import * as vscode from 'vscode';

/** The command behind the places in a page. It is for pages alone, so package.json does not declare it. */
export const showPlace = 'patchlang.showPlace';

/** Shows a page in a panel of its own, or in the one that is there already for its kind. */
export class Reports implements vscode.Disposable {
  private readonly open = new Map<string, vscode.WebviewPanel>();
  private readonly command = vscode.commands.registerCommand(showPlace, (folder: string, file: string, line: number) => show(folder, file, line));

  /**
   * @param kind what sort of page it is: one panel for each
   * @param html a whole page
   * @param folder the plan's folder, which places are named from
   * @param takesFocus whether it is what the user looks for; else what comes next lies over it, beside the same text
   */
  show(kind: string, title: string, html: string, folder: string, takesFocus = true): void {
    let panel = this.open.get(kind);
    if (panel) panel.reveal(undefined, !takesFocus);
    else {
      panel = vscode.window.createWebviewPanel(`patchlang.${kind}`, title, { viewColumn: vscode.ViewColumn.Beside, preserveFocus: !takesFocus }, { enableScripts: true, enableCommandUris: [showPlace], enableFindWidget: true, localResourceRoots: [] });
      panel.onDidDispose(() => this.open.delete(kind));
      this.open.set(kind, panel);
    }
    panel.title = title;
    panel.webview.html = underPolicy(withLinks(html, folder), randomBytes(18).toString('base64'));
  }

  dispose(): void {
    this.command.dispose();
    for (const panel of this.open.values()) panel.dispose();
  }
}

async function show(folder: string, file: string, line: number): Promise<void> {
  const uri = file.startsWith('library/') ? vscode.Uri.parse(`patchlang:/${file}`) : vscode.Uri.file(path.join(folder, file));
  const start = new vscode.Position(Math.max(0, line - 1), 0);
  await vscode.window.showTextDocument(uri, { viewColumn: vscode.ViewColumn.One, selection: new vscode.Range(start, start) });
}

/** A page with a link at each place in the plan as it is now; what was in an older one leads nowhere. */
export function withLinks(html: string, folder: string): string {
  return html.replace(/(<span class="where">|<td class="place">)(?!was )([^<>,"]+\.rig):(\d+)/g, (_, opening: string, file: string, line: string) => {
    const asked = encodeURIComponent(JSON.stringify([folder, plain(file), Number(line)])).replaceAll("'", '%27');
    return `${opening}<a href="command:${showPlace}?${asked}">${file}:${line}</a>`;
  });
}

/** Text without what HTML writes for signs. */
function plain(text: string): string {
  const signs: Record<string, string> = { amp: '&', lt: '<', gt: '>', quot: '"', '#39': "'" };
  return text.replace(/&(amp|lt|gt|quot|#39);/g, (_, name: string) => signs[name]!);
}

/**
 * A page with a policy that allows what is in it and nothing else: no addresses, and only the styles and scripts that it has now.
 * @param nonce a value that cannot be guessed
 */
export function underPolicy(html: string, nonce: string): string {
  const policy = `default-src 'none'; img-src data:; style-src-elem 'nonce-${nonce}'; style-src-attr 'unsafe-inline'; script-src 'nonce-${nonce}'; base-uri 'none'; form-action 'none'`;
  return html.replace(/<(style|script)(?=[\s>])/g, `<$1 nonce="${nonce}"`).replace(/<head>/, `<head>\n<meta http-equiv="Content-Security-Policy" content="${policy}"/>`);
}
