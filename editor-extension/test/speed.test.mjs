// How long it takes from an edit to the new drawing, for a rig of 60 units: told, not held, since machines differ and others use them.
// The editor's own share is not in it. PATCHLANG_PROGRAM names the program; without it this is passed over.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import path from 'node:path';
import test from 'node:test';
import { samples, skip, withServer } from './ask.mjs';
import { inView, pictureOf } from './view.mjs';

const edits = 25;
const median = times => [...times].sort((a, b) => a - b)[times.length >> 1].toFixed(1);

test('60 units: from an edit to the picture in the view', { skip }, async t => {
  const file = path.join(samples, '../tests/Pictures/sixty-units.rig');
  const text = fs.readFileSync(file, 'utf8');
  const pictures = [];
  const [asked, lit] = [[], []];
  await withServer(async ({ connection, ask, open, edit }) => {
    let changed;
    connection.onNotification('patchlang/changed', () => changed?.());
    const uri = await open(file);
    const last = text.trimEnd().split('\n').length - 1;
    const cursor = { line: last, character: 6 };
    await ask('patchlang/drawing', { textDocument: { uri }, kind: 'rig', position: cursor });
    for (let i = 0; i < edits; i++) {
      const heard = new Promise(done => (changed = done));
      const began = performance.now();
      // One cable is longer than before: the whole is laid out anew.
      await edit(uri, text.replace(/ (\d+) m\b/, ` ${i + 2} m`));
      await heard;
      pictures.push(await ask('patchlang/drawing', { textDocument: { uri }, kind: 'rig', position: cursor, mostErrors: 0 }));
      asked.push(performance.now() - began);
      const moved = performance.now();
      await ask('patchlang/wayAt', { textDocument: { uri }, kind: 'rig', position: { line: last - i, character: 6 } });
      lit.push(performance.now() - moved);
    }
  });
  for (const { svg } of pictures) assert.ok(svg?.match(/<g class="box unit/g).length >= 60);
  assert.equal(new Set(pictures.map(({ svg }) => svg)).size, edits);
  const shown = [];
  await inView({}, async ({ page }) => {
    for (const result of pictures)
      shown.push(
        await page.evaluate(async message => {
          const began = performance.now();
          window.dispatchEvent(new MessageEvent('message', { data: message }));
          // Drawn on the screen: the frame after this one has begun.
          await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
          return performance.now() - began;
        }, pictureOf(result))
      );
  });
  const all = asked.map((time, i) => time + shown[i]);
  t.diagnostic(`took: ${median(all)} ms from an edit of 60 units to the picture (server ${median(asked)}, view ${median(shown)}, at most ${Math.max(...all).toFixed(0)}); ${median(lit)} ms to know what is lit`);
});
