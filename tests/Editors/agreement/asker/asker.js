// Asks the editor what questions.json, in a folder of the workspace, asks of the plan beside it, and writes answers.json there: the
// answers as the editor's own client of the server passes them on. answers.lua asks Neovim the same, and writes them the same way.
const vscode = require('vscode');
const path = require('node:path');

exports.activate = async () => {
  const [file] = await vscode.workspace.findFiles('**/questions.json');
  if (!file) return;
  const beside = name => vscode.Uri.joinPath(file, '..', name);
  const questions = JSON.parse(await read(file));
  const document = await vscode.workspace.openTextDocument(beside('quay.rig'));
  await new Promise(found => {
    const look = () => vscode.languages.getDiagnostics(document.uri).length > 0 && found();
    vscode.languages.onDidChangeDiagnostics(look);
    look();
  });
  const answers = [];
  for (const question of questions) answers.push({ ...question, answer: await ask[question.ask](document, question) });
  await vscode.workspace.fs.writeFile(beside('answers.json'), Buffer.from(JSON.stringify(answers)));
};

const read = async uri => Buffer.from(await vscode.workspace.fs.readFile(uri)).toString();
const at = ({ line, character }) => new vscode.Position(line, character);
const span = ({ start, end }) => `${start.line}:${start.character}-${end.line}:${end.character}`;
const place = found => `${path.basename((found.targetUri ?? found.uri).path)} ${span(found.targetSelectionRange ?? found.targetRange ?? found.range)}`;
const run = (command, document, ...given) => vscode.commands.executeCommand(`vscode.execute${command}`, document.uri, ...given);

const ask = {
  findings: document =>
    vscode.languages.getDiagnostics(document.uri).map(d => `${span(d.range)} ${d.severity + 1} ${d.code?.value ?? d.code} ${d.message}`).sort(),
  hover: async (document, question) =>
    (await run('HoverProvider', document, at(question))).map(hover => `${span(hover.range)} ${hover.contents.map(c => c.value).join('\n').trim()}`),
  completion: async (document, question) => {
    const { items } = await run('CompletionItemProvider', document, at(question));
    // Snippets are the extension's own, not the server's.
    return items.filter(i => i.kind !== vscode.CompletionItemKind.Snippet).map(i => i.label.label ?? i.label).sort();
  },
  definition: async (document, question) => (await run('DefinitionProvider', document, at(question))).map(place),
  references: async (document, question) => (await run('ReferenceProvider', document, at(question))).map(place).sort(),
  highlights: async (document, question) => (await run('DocumentHighlights', document, at(question))).map(h => `${span(h.range)} ${h.kind + 1}`).sort(),
  symbols: async document => (await run('DocumentSymbolProvider', document)).flatMap(flat).sort(),
  rename: async (document, question) => changed(document, (await run('DocumentRenameProvider', document, at(question), question.to)).get(document.uri)),
  formatting: async document => changed(document, await run('FormatDocumentProvider', document, { tabSize: 2, insertSpaces: true })),
  mends: async (document, question) => {
    const found = await run('CodeActionProvider', document, new vscode.Range(at(question), at(question)), 'quickfix', 100);
    return found.map(action => [action.title, ...(action.edit ? changed(document, action.edit.get(document.uri)) : [])]);
  },
};

const flat = symbol => [`${symbol.name} ${span(symbol.selectionRange)}`, ...symbol.children.flatMap(flat)];

/** The document's lines as some edits leave them. */
function changed(document, edits) {
  let text = document.getText();
  for (const edit of [...edits].sort((a, b) => b.range.start.compareTo(a.range.start)))
    text = text.slice(0, document.offsetAt(edit.range.start)) + edit.newText + text.slice(document.offsetAt(edit.range.end));
  return text.trimEnd().split('\n');
}
