// Pages that the program writes, shown in the editor. They fetch nothing, and only what the program wrote into them counts.
import { randomBytes } from 'node:crypto';
import * as vscode from 'vscode';

/** Shows a page in a panel of its own, or in the one that is there already for its kind. */
export class Reports {
  private readonly open = new Map<string, vscode.WebviewPanel>();

  /**
   * @param kind what sort of page it is: one panel for each
   * @param html a whole page, or an SVG picture
   */
  show(kind: string, title: string, html: string): void {
    let panel = this.open.get(kind);
    if (panel) panel.reveal(undefined, false);
    else {
      panel = vscode.window.createWebviewPanel(`patchlang.${kind}`, title, vscode.ViewColumn.Beside, { enableScripts: true, enableFindWidget: true, localResourceRoots: [], retainContextWhenHidden: false });
      panel.onDidDispose(() => this.open.delete(kind));
      this.open.set(kind, panel);
    }
    panel.title = title;
    panel.webview.html = underPolicy(html, randomBytes(18).toString('base64'));
  }
}

/**
 * A page with a policy that allows what is in it and nothing else: no addresses, and only the styles and scripts that it has now.
 * @param nonce a value that cannot be guessed
 */
export function underPolicy(html: string, nonce: string): string {
  const page = /^\s*(?:<\?xml[^>]*\?>\s*)?<svg\b/.test(html)
    ? `<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n<style>body { background: #fff; } svg { max-width: none; }</style>\n</head>\n<body>\n${html.replace(/^\s*<\?xml[^>]*\?>\s*/, '')}\n</body>\n</html>\n`
    : html;
  const policy = `default-src 'none'; img-src data:; style-src-elem 'nonce-${nonce}'; style-src-attr 'unsafe-inline'; script-src 'nonce-${nonce}'; base-uri 'none'; form-action 'none'`;
  return page.replace(/<(style|script)(?=[\s>])/g, `<$1 nonce="${nonce}"`).replace(/<head>/, `<head>\n<meta http-equiv="Content-Security-Policy" content="${policy}"/>`);
}
