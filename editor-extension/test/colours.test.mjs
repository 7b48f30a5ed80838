// The colours of plans, beside the compiler's own grammar.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import test from 'node:test';
import { inner, meant, openers, symbols, text } from '../syntaxes/rig.mjs';
import { piecesOf } from './colours.mjs';

const read = file => fs.readFileSync(new URL(`../${file}`, import.meta.url), 'utf8');
const lexer = read('../grammar/PatchLexer.g4');
const keyword = 'keyword.control.rig';

/** The words between two remarks of the lexer. */
const wordsIn = (from, to) => [...lexer.slice(lexer.indexOf(from), lexer.indexOf(to)).matchAll(/^[A-Z]+ *: '(\w+)';/gm)].map(m => m[1]);
const reserved = wordsIn('// Reserved', '// Never names');
const never = wordsIn('// Never names', '// Words with a meaning');
const contextual = wordsIn('// Words with a meaning', '// Unit symbols');

/** The plan that has every rule of the grammar once. */
const whole = /"""\n([^]*?)\n *"""/.exec(read('../tests/PatchLang.Tests/Syntax/SamplePlan.cs'))[1].replace(/^ {8}/gm, '');

const scopeOf = (plan, word) => piecesOf(plan).find(p => p.text === word)?.scope;

test('the grammar in use is the one that rig.mjs writes', () => assert.equal(read('syntaxes/rig.tmLanguage.json'), text));

test('its words are those of the lexer', () => {
  assert.ok(reserved.length >= 19 && never.length >= 4 && contextual.length >= 40);
  assert.deepEqual(Object.keys(openers), reserved);
  assert.deepEqual(inner, never);
  assert.deepEqual([...new Set(Object.values(meant).flat())].sort(), [...contextual].sort());
  const symbol = /^SYMBOL :([^;]*);/m.exec(lexer)[1].replace(/\\u([0-9A-F]{4})/g, (_, code) => String.fromCharCode(parseInt(code, 16)));
  assert.deepEqual(symbols, [...symbol.matchAll(/'([^']+)'/g)].map(m => m[1]));
});

for (const word of reserved) {
  test(`${word} opens a statement, also where the one before is not whole`, () => {
    for (const before of ['', 'feed lead : rack.mic[1] ->\n', 'network quay : aes67 { join rack.net,\n', 'gear Box { clock main {\n', 'feed mix : sum(a, "open\n'])
      assert.equal(piecesOf(`${before}${word} x`).findLast(p => p.text === word)?.scope, keyword, before);
  });
}

for (const word of never) {
  test(`${word} is a word of the language in every statement`, () => {
    for (const opener of reserved) assert.equal(scopeOf(`${opener} x : ${word} y`, word), keyword, opener);
  });
}

for (const word of contextual) {
  test(`${word} is coloured in its place, and a name elsewhere`, () => {
    assert.ok(piecesOf(whole).some(p => p.text === word && p.scope === keyword), 'in the plan that has every rule');
    for (const plan of [`feed x : ${word}[1] -> ${word}.${word}[1] -> desk.${word}`, `unit ${word} : Desk48`, `cable a.${word} -> ${word}.b`, `network ${word} : ${word} { budget = ${word} }`])
      for (const piece of piecesOf(plan).filter(p => p.text === word)) assert.notEqual(piece.scope, keyword, plan);
  });
}

for (const symbol of [...symbols, '%', 'Mbit/s', 'Gbit/s']) {
  test(`${symbol} is a unit behind a number`, () => {
    const pieces = piecesOf(`rate 48 ${symbol}`);
    assert.equal(pieces.find(p => p.text === '48').scope, 'constant.numeric.rig');
    assert.equal(pieces.find(p => p.text === symbol)?.scope, 'keyword.other.unit.rig');
  });
}

test('every piece of the plan that has every rule has a colour', () => {
  const plain = piecesOf(whole).filter(p => p.text.trim() !== '' && p.scope === 'source.rig');
  assert.deepEqual(plain, []);
});

test('a word of the language in quotes, in a remark or in a longer name is none', () => {
  for (const plan of ['rig "a feed in quotes"', '// a feed', '/* a\nfeed\nhere */', 'act feeder', 'act my_feed', 'act fl\u00FBtefeed', 'act feed2'])
    assert.ok(!piecesOf(plan).some(p => p.text === 'feed' && p.scope === keyword), plan);
});
