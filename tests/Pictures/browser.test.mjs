// Drawings in a real browser: nothing cut, nothing covered, no error, no load from outside, usable by keys, and no fault that axe knows.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { accessFaults, at, shots, sizes } from './browser.mjs';
import { draw, drawings } from './plans.mjs';

// What a reader would see go wrong in the letters that this machine has: text beyond its box or the picture, or on other text.
const faults = () => {
  const svg = document.querySelector('svg');
  const found = [];
  const of = element => element.getBoundingClientRect();
  const within = (inner, outer) => inner.left >= outer.left - 1 && inner.right <= outer.right + 1 && inner.top >= outer.top - 1 && inner.bottom <= outer.bottom + 1;
  const texts = [...svg.querySelectorAll('text')].filter(text => text.textContent);
  for (const text of texts) {
    if (!within(of(text), of(svg))) found.push(`beyond the picture: ${text.textContent}`);
    const box = text.closest('g.box');
    if (box && !within(of(text), of(box.querySelector('rect')))) found.push(`beyond its box: ${text.textContent}`);
  }
  for (let i = 0; i < texts.length; i++)
    for (let j = 0; j < i; j++) {
      const [one, other] = [of(texts[i]), of(texts[j])];
      const high = Math.min(one.bottom, other.bottom) - Math.max(one.top, other.top);
      const wide = Math.min(one.right, other.right) - Math.max(one.left, other.left);
      // The room that letters stand in is higher than they are.
      if (wide > 1 && high > 0.45 * Math.min(one.height, other.height)) found.push(`on each other: ${texts[i].textContent} and ${texts[j].textContent}`);
    }
  return found;
};

for (const drawing of drawings) {
  describe(drawing.name, () => {
    for (const colorScheme of ['light', 'dark']) {
      it(`is a picture in which nothing is cut or covered, on ${colorScheme} ground`, async () => {
        await at(draw(drawing, 'svg'), { colorScheme, viewport: { width: 1600, height: 1000 } }, async page => {
          assert.deepEqual(await page.evaluate(faults), []);
          if (shots) {
            const [, , width, height] = (await page.locator('svg').getAttribute('viewBox')).split(' ').map(Number);
            await page.setViewportSize({ width, height });
            await page.screenshot({ path: `${shots}/${drawing.name}-${colorScheme}.png` });
          }
        });
      });
    }

    for (const viewport of sizes) {
      it(`is a page of ${viewport.width} by ${viewport.height} without a script error or a fault of access`, async () => {
        for (const colorScheme of ['light', 'dark'])
          await at(draw(drawing, 'html'), { colorScheme, viewport }, async page => {
            assert.deepEqual(await accessFaults(page), []);
            if (shots) await page.screenshot({ path: `${shots}/${drawing.name}-page-${viewport.width}-${colorScheme}.png` });
          });
      });
    }
  });
}

describe('the page', () => {
  const [festival] = drawings;
  const viewport = sizes[0];

  it('is a plain picture without scripts', async () => {
    await at(draw(festival, 'html'), { javaScriptEnabled: false, viewport }, async page => {
      await page.getByText('House desk', { exact: true }).first().waitFor({ state: 'attached' });
      assert.equal(await page.locator('#tools').isVisible(), false);
      assert.ok((await page.locator('#drawing').boundingBox()).width > 300);
    });
  });

  it('lights a unit that has the focus, its lines and their far ends', async () => {
    await at(draw(festival, 'html'), { viewport }, async page => {
      await page.locator('g.box[data-name="desk"]').focus();
      const lit = await page.locator('g.box.lit').evaluateAll(boxes => boxes.map(box => box.dataset.name));
      for (const name of ['desk', 'pa', 'recorder', 'quay']) assert.ok(lit.includes(name), name);
      assert.ok(!lit.includes('split'));
      assert.match(await page.locator('#told').textContent(), /House desk/);
    });
  });

  it('follows a feed from its source to who hears it', async () => {
    await at(draw(festival, 'html'), { viewport }, async page => {
      await page.locator('#feed').selectOption({ label: 'Kick (kick)' });
      const lit = await page.locator('g.box.lit').evaluateAll(boxes => boxes.map(box => box.dataset.name));
      for (const name of ['split', 'rack', 'quay', 'desk', 'pa']) assert.ok(lit.includes(name), name);
      assert.ok(!lit.includes('player'));
      await page.locator('#feed').selectOption('');
      assert.equal(await page.locator('.lit').count(), 0);
    });
  });

  it('is moved and enlarged by wheel, mouse and keys', async () => {
    await at(draw(festival, 'html'), { viewport }, async page => {
      const seen = () => page.locator('#drawing').getAttribute('viewBox');
      await page.locator('#whole').click();
      const whole = await seen();
      await page.mouse.move(600, 400);
      await page.mouse.wheel(0, -400);
      const larger = await seen();
      assert.notEqual(larger, whole);
      await page.mouse.down();
      await page.mouse.move(500, 300, { steps: 4 });
      await page.mouse.up();
      assert.notEqual(await seen(), larger);
      await page.locator('#view').focus();
      await page.keyboard.press('0');
      assert.equal(await seen(), whole);
      await page.keyboard.press('+');
      await page.keyboard.press('ArrowRight');
      assert.notEqual(await seen(), whole);
    });
  });

  it('brings what the keys reach into sight', async () => {
    await at(draw(festival, 'html'), { viewport }, async page => {
      for (let i = 0; i < 6; i++) await page.locator('#larger').click();
      for (let i = 0; i < 40; i++) {
        await page.keyboard.press('Tab');
        const inSight = await page.evaluate(() => {
          const element = document.activeElement.closest('g.box, g.line');
          if (!element) return true;
          const [place, view] = [element.getBoundingClientRect(), document.getElementById('view').getBoundingClientRect()];
          return place.left < view.right && place.right > view.left && place.top < view.bottom && place.bottom > view.top;
        });
        assert.ok(inSight);
      }
    });
  });
});
