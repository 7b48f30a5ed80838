// The parts of the live drawing that need no editor: what is asked when, where things are, and the page itself.
import assert from 'node:assert/strict';
import test from 'node:test';
import { setTimeout as after } from 'node:timers/promises';
import { load } from './typescript.mjs';

test('of questions that come faster than their answers only the last waits, and none is asked beside another', async () => {
  const { Latest } = await load('drawing/latest.ts');
  const done = [];
  let beside = 0;
  let isIdle = true;
  const latest = new Latest(async value => {
    if (!isIdle) beside++;
    isIdle = false;
    await after(20);
    isIdle = true;
    done.push(value);
  }, 1);
  latest.ask(1);
  latest.ask(2);
  await after(10);
  for (const value of [3, 4, 5]) latest.ask(value);
  while (done.length < 2) await after(5);
  await after(40);
  assert.deepEqual(done, [2, 5]);
  assert.equal(beside, 0);
});

test('what fails does not hold up what comes after it', async () => {
  const { Latest } = await load('drawing/latest.ts');
  const done = [];
  const latest = new Latest(async value => {
    await after(5);
    if (value === 'bad') throw new Error('it went wrong');
    done.push(value);
  }, 1, error => done.push(error.message));
  latest.ask('bad');
  await after(3);
  latest.ask('good');
  while (done.length < 2) await after(5);
  assert.deepEqual(done, ['it went wrong', 'good']);
});

test('what is forgotten is not asked any more', async () => {
  const { Latest } = await load('drawing/latest.ts');
  const done = [];
  const latest = new Latest(async value => void done.push(value), 5);
  latest.ask(1);
  latest.dispose();
  await after(20);
  assert.deepEqual(done, []);
});

test('places move with the text before them, as the text itself does', async () => {
  const { shifted } = await load('drawing/shift.ts');
  const text = 'unit rack : StageRack\nunit desk : Desk48\ncable rack.line -> desk.local\n';
  const offsetOf = (lines, { line, character }) => lines.slice(0, line).reduce((sum, each) => sum + each.length + 1, 0) + character;
  const placeAt = (content, offset) => ({ line: content.slice(0, offset).split('\n').length - 1, character: offset - (content.lastIndexOf('\n', offset - 1) + 1) });
  let compared = 0;
  for (const inserted of ['', 'x', '\n', 'a\nbc', '// two\n// lines\n'])
    for (let from = 0; from <= text.length; from += 3)
      for (let to = from; to <= text.length; to += 7) {
        const edited = text.slice(0, from) + inserted + text.slice(to);
        for (let at = 0; at <= text.length; at += 5) {
          if (at > from && at < to) continue;
          const moved = shifted(placeAt(text, at), { start: placeAt(text, from), end: placeAt(text, to) }, inserted);
          // At the seam before an empty stretch a place may stay or move.
          const expected = at >= to ? at - (to - from) + inserted.length : at;
          if (at === from && at !== to) continue;
          assert.equal(offsetOf(edited.split('\n'), moved), expected, JSON.stringify({ inserted, from, to, at }));
          compared++;
        }
      }
  assert.ok(compared > 1000, `${compared} places`);
  // What is replaced itself has its place where that began.
  assert.deepEqual(shifted({ line: 1, character: 4 }, { start: { line: 1, character: 2 }, end: { line: 1, character: 8 } }, 'new'), { line: 1, character: 2 });
});

test('the page lets its own script run, its own style sheet count, and nothing else', async () => {
  const { pageOf } = await load('drawing/page.ts');
  const page = pageOf({ script: 'https://files/view.js', style: 'https://files/view.css', source: 'https://files', nonce: 'n0nce' });
  const policy = /Content-Security-Policy" content="([^"]*)"/.exec(page)[1];
  assert.deepEqual(policy.split('; '), ["default-src 'none'", "script-src 'nonce-n0nce'", 'style-src https://files', 'img-src blob:']);
  assert.deepEqual(page.match(/<script[^>]*>/g), ['<script nonce="n0nce" src="https://files/view.js">']);
  assert.doesNotMatch(page, /<style|\sstyle=|\son\w+=/);
});

test('the ground of a theme is taken where the palette can be read on it', async () => {
  const { contrast, fits, partsOf } = await load('view/ground.ts');
  // The two ends of the scale, and a grey that just does (WCAG 2.2, "contrast ratio"; #767676 on white: 4.54, from memory).
  assert.equal(contrast('#ffffff', '#000'), 21);
  assert.equal(contrast('rgb(10, 20, 30)', '#0a141e'), 1);
  assert.equal(contrast('#767676', '#ffffff').toFixed(2), '4.54');
  assert.ok(fits('rgb(255, 255, 255)', ['#767676', '#000000']));
  assert.ok(!fits('rgb(255, 255, 255)', ['#777777']));
  assert.ok(!fits('rgba(0, 0, 0, 0)', ['#ffffff']), 'a ground that is not solid is not known');
  assert.equal(partsOf('transparent'), undefined);
});
