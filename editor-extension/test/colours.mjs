// Reads plans with the engine that the editor colours them with.
import fs from 'node:fs';
import { createRequire } from 'node:module';

const require = createRequire(import.meta.url);
const textmate = require('vscode-textmate');
const oniguruma = require('vscode-oniguruma');

const onigLib = oniguruma.loadWASM(fs.readFileSync(require.resolve('vscode-oniguruma/release/onig.wasm'))).then(() => ({
  createOnigScanner: patterns => new oniguruma.OnigScanner(patterns),
  createOnigString: text => new oniguruma.OnigString(text),
}));
const file = new URL('../syntaxes/rig.tmLanguage.json', import.meta.url);
const registry = new textmate.Registry({ onigLib, loadGrammar: async () => textmate.parseRawGrammar(fs.readFileSync(file, 'utf8'), 'rig.tmLanguage.json') });
const grammar = await registry.loadGrammar('source.rig');

/** The pieces of a plan: line, start, end, text, and the innermost scope. */
export function piecesOf(plan) {
  let state = textmate.INITIAL;
  return plan.split(/\r?\n/).flatMap((text, line) => {
    const read = grammar.tokenizeLine(text, state);
    state = read.ruleStack;
    return read.tokens.map(({ startIndex, endIndex, scopes }) => ({
      line,
      start: startIndex,
      end: Math.min(endIndex, text.length),
      text: text.slice(startIndex, endIndex),
      scope: scopes.at(-1),
    }));
  });
}
