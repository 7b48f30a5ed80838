// The rig with what changes marked, in a real browser: as a picture, as a page to move about in, and in the report to print.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { accessFaults, at, shots, sizes } from './browser.mjs';
import { compare, compared } from './plans.mjs';

// Texts of a picture that lie over each other, and texts of lines that lie under a box.
const overlaps = () => {
  const texts = [...document.querySelectorAll('.drawing text')].map(text => ({ words: text.textContent, place: text.getBoundingClientRect() })).filter(text => text.words);
  const found = [];
  for (let i = 0; i < texts.length; i++)
    for (let j = 0; j < i; j++) {
      const [one, other] = [texts[i].place, texts[j].place];
      const across = Math.min(one.right, other.right) - Math.max(one.left, other.left);
      const down = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
      if (across > 1 && down > one.height / 3) found.push(`${texts[j].words} / ${texts[i].words}`);
    }
  return found;
};

for (const pair of compared) {
  describe(pair.name, () => {
    it('is a picture with signs, strokes and a legend, on light and on dark ground, and no text over another', async () => {
      for (const colorScheme of ['light', 'dark'])
        await at(compare(pair, 'svg'), { colorScheme, viewport: sizes[0] }, async page => {
          const [, , width, height] = (await page.locator('svg').getAttribute('viewBox')).split(' ').map(Number);
          await page.setViewportSize({ width, height });
          assert.deepEqual(await page.evaluate(overlaps), []);
          // Where every box is marked there is none to be told from.
          const strokes = await page.evaluate(() => ['.box.added', '.box.removed', '.box.changed', '.box:not(.added):not(.removed):not(.changed)']
            .map(kind => document.querySelector(`${kind} > .outer`)).filter(box => box).map(box => `${getComputedStyle(box).strokeWidth} ${getComputedStyle(box).strokeDasharray}`));
          assert.ok(strokes.length >= 2);
          assert.equal(new Set(strokes).size, strokes.length, strokes.join('; '));
          const legend = await page.locator('.legend text').allTextContents();
          for (const words of ['+', '\u2212', 'new', 'gone, title struck out']) assert.ok(legend.includes(words), words);
          assert.ok((await page.locator('title').first().textContent()).startsWith('What changes: '));
          if (shots) await page.screenshot({ path: `${shots}/${pair.name}-${colorScheme}.png` });
        });
    });

    for (const viewport of sizes)
      it(`is a report and a page of ${viewport.width} by ${viewport.height} without an error or a fault of access`, async () => {
        for (const format of ['html', 'drawing'])
          await at(compare(pair, format), { viewport }, async page => {
            assert.deepEqual(await accessFaults(page), []);
            if (shots) await page.screenshot({ path: `${shots}/${pair.name}-${format}-${viewport.width}.png` });
          });
      });

    it('is on paper as wide as the paper', async () => {
      await at(compare(pair, 'html'), { viewport: { width: 1040, height: 720 } }, async page => {
        await page.emulateMedia({ media: 'print' });
        const place = await page.locator('.drawing').boundingBox();
        assert.ok(place.width <= 1040 && place.height <= 720, JSON.stringify(place));
      });
    });
  });
}
