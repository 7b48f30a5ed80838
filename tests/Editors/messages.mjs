// Holds every message that the server wrote in the scenarios' runs against the guards of the protocol's own library
// (npm vscode-languageserver-types): node messages.mjs FOLDER, where FOLDER is what PATCHLANG_MESSAGES named.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import * as types from 'vscode-languageserver-types';

const {
  CodeAction, CodeLens, Command, Diagnostic, DocumentLink, DocumentSymbol, FoldingRange, Hover, InlayHint, Location, LocationLink,
  MarkupContent, Range, Position, SelectionRange, SemanticTokens, TextEdit, WorkspaceEdit, integer, uinteger,
} = types;

const none = value => value === null || value === undefined;
const nothing = value => none(value) || (Array.isArray(value) && value.length === 0); // in JSON-RPC an empty list is no params
const all = guard => value => Array.isArray(value) && value.every(guard);
const maybe = guard => value => none(value) || guard(value);
const text = value => typeof value === 'string';
const optional = (value, guard) => value === undefined || guard(value);
const either = (...guards) => value => guards.some(guard => guard(value));

// The library has no guard for these: the fields that the specification asks for.
const symbolInformation = value => text(value.name) && uinteger.is(value.kind) && Location.is(value.location) && optional(value.containerName, text);
const highlight = value => Range.is(value.range) && optional(value.kind, uinteger.is);
const completionItem = value =>
  text(value.label) && optional(value.kind, uinteger.is) && optional(value.detail, text) && optional(value.documentation, either(text, MarkupContent.is)) &&
  optional(value.sortText, text) && optional(value.insertTextFormat, uinteger.is) && optional(value.textEdit, TextEdit.is);
const callItem = value => text(value.name) && uinteger.is(value.kind) && text(value.uri) && Range.is(value.range) && Range.is(value.selectionRange);
const signature = value => text(value.label) && optional(value.documentation, either(text, MarkupContent.is)) && optional(value.parameters, all(p => text(p.label)));
const report = value => text(value.kind) && text(value.resultId) && (value.kind === 'unchanged' || all(Diagnostic.is)(value.items));

const answers = {
  'initialize': value => typeof value.capabilities === 'object' && text(value.serverInfo.name),
  'shutdown': none,
  'textDocument/hover': maybe(Hover.is),
  'textDocument/completion': maybe(value => typeof value.isIncomplete === 'boolean' && all(completionItem)(value.items)),
  'textDocument/signatureHelp': maybe(value => all(signature)(value.signatures) && uinteger.is(value.activeSignature) && uinteger.is(value.activeParameter)),
  'textDocument/definition': maybe(either(all(LocationLink.is), all(Location.is))),
  'textDocument/declaration': maybe(either(all(LocationLink.is), all(Location.is))),
  'textDocument/typeDefinition': maybe(either(all(LocationLink.is), all(Location.is))),
  'textDocument/references': maybe(all(Location.is)),
  'textDocument/documentHighlight': maybe(all(highlight)),
  'textDocument/documentSymbol': maybe(either(all(DocumentSymbol.is), all(symbolInformation))),
  'workspace/symbol': maybe(all(symbolInformation)),
  'textDocument/codeAction': maybe(all(either(CodeAction.is, Command.is))),
  'textDocument/codeLens': maybe(all(CodeLens.is)),
  'textDocument/documentLink': maybe(all(DocumentLink.is)),
  'workspace/willRenameFiles': maybe(WorkspaceEdit.is),
  'textDocument/formatting': maybe(all(TextEdit.is)),
  'textDocument/rangeFormatting': maybe(all(TextEdit.is)),
  'textDocument/onTypeFormatting': maybe(all(TextEdit.is)),
  'textDocument/prepareRename': maybe(value => Range.is(value.range) && text(value.placeholder)),
  'textDocument/rename': maybe(WorkspaceEdit.is),
  'textDocument/foldingRange': maybe(all(FoldingRange.is)),
  'textDocument/selectionRange': maybe(all(SelectionRange.is)),
  'textDocument/prepareCallHierarchy': maybe(all(callItem)),
  'callHierarchy/incomingCalls': maybe(all(value => callItem(value.from) && all(Range.is)(value.fromRanges))),
  'callHierarchy/outgoingCalls': maybe(all(value => callItem(value.to) && all(Range.is)(value.fromRanges))),
  'textDocument/linkedEditingRange': maybe(value => all(Range.is)(value.ranges)),
  'textDocument/semanticTokens/full': maybe(SemanticTokens.is),
  'textDocument/semanticTokens/full/delta': maybe(either(SemanticTokens.is, value => all(e => uinteger.is(e.start) && uinteger.is(e.deleteCount) && all(uinteger.is)(e.data))(value.edits))),
  'textDocument/semanticTokens/range': maybe(SemanticTokens.is),
  'textDocument/inlayHint': maybe(all(InlayHint.is)),
  'textDocument/diagnostic': report,
  'workspace/executeCommand': () => true, // anything, as the command will have it
  'patchlang/expectations': all(e => text(e.name) && text(e.uri) && Range.is(e.range) && ['held', 'broken', 'undecided'].includes(e.state)), // ours, as are the next
  'patchlang/status': maybe(s => text(s.plan) && [s.errors, s.warnings, s.notes, s.hints, s.rate].every(Number.isFinite)),
  'patchlang/drawing': maybe(d => text(d.plan) && (text(d.svg) ? text(d.style) && all(t => text(t.id) && text(t.uri) && Range.is(t.range))(d.things) && all(text)(d.lit.ids) : text(d.reason))),
  'patchlang/wayAt': maybe(lit => all(text)(lit.ids) && text(lit.words)),
  'patchlang/drawingFile': maybe(file => text(file.svg) && text(file.forPaper)),
  'workspace/textDocumentContent': value => text(value.text), // a part of version 3.18
};

const told = {
  'textDocument/publishDiagnostics': value => text(value.uri) && optional(value.version, integer.is) && all(Diagnostic.is)(value.diagnostics),
  'window/logMessage': value => uinteger.is(value.type) && text(value.message),
  'window/workDoneProgress/create': value => text(value.token) || integer.is(value.token),
  '$/progress': value => (text(value.token) || integer.is(value.token)) && ['begin', 'report', 'end'].includes(value.value.kind) && (value.value.kind !== 'begin' || text(value.value.title)),
  'window/showMessage': value => uinteger.is(value.type) && text(value.message),
  'patchlang/changed': value => all(text)(value.plans),
  'client/registerCapability': value => all(r => text(r.id) && text(r.method))(value.registrations),
  'workspace/diagnostic/refresh': nothing,
  'workspace/inlayHint/refresh': nothing,
  'workspace/codeLens/refresh': nothing,
  'workspace/semanticTokens/refresh': nothing,
};

const counts = new Map();
let failed = 0;
for (const file of readdirSync(process.argv[2]).filter(f => f.endsWith('.jsonl')))
  for (const line of readFileSync(join(process.argv[2], file), 'utf8').split('\n').filter(l => l)) {
    const { answers: asked, message } = JSON.parse(line);
    const method = message.method ?? asked;
    const isError = message.error !== undefined;
    const guard = message.method ? told[method] : answers[method];
    const isRight = message.jsonrpc === '2.0' && (isError ? integer.is(message.error.code) && text(message.error.message) : guard?.(message.method ? message.params : message.result) === true);
    counts.set(method, (counts.get(method) ?? 0) + 1);
    if (!isRight) {
      failed++;
      console.log(`not ok ${method}: ${line.slice(0, 400)}`);
    }
  }

const unseen = [...Object.keys(answers)].filter(method => !counts.has(method));
for (const method of unseen) console.log(`not ok ${method}: no scenario asks it`);
console.log(`# ${[...counts.values()].reduce((a, b) => a + b, 0)} messages of ${counts.size} methods`);
console.log(`# pass ${counts.size - failed}`);
console.log(`# fail ${failed + unseen.length}`);
process.exit(failed + unseen.length === 0 ? 0 : 1);
