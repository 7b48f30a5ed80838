// Sheets in a real browser: no error, no load from outside, no fault of access, no letter cut off, readable without scripts, and whole on paper.
import assert from 'node:assert/strict';
import { describe, it } from 'node:test';
import { accessFaults, at, shots, sizes } from './browser.mjs';
import { sheets, sheetsOf } from './plans.mjs';

// A4 across, less the margins that sheets have, at the 96 dots an inch of CSS.
const paper = { width: Math.floor((297 - 2 * 10) / 25.4 * 96), height: Math.floor((210 - 2 * 13) / 25.4 * 96) };

it('of a plan with faults have a banner on every sheet, and marks on rows that are seen without colour', async () => {
  await at(sheets('wrong'), { viewport: paper }, async page => {
    await page.emulateMedia({ media: 'print' });
    const found = await page.evaluate(() => ({
      sheets: document.querySelectorAll('section.sheet').length,
      banners: [...document.querySelectorAll('section.sheet > .banner')].filter(banner => banner.offsetHeight > 0 && getComputedStyle(banner).borderTopWidth === '3px').length,
      marked: [...document.querySelectorAll('tr.faulty')].map(row => ({
        bar: getComputedStyle(row.cells[0]).borderLeftWidth,
        says: row.querySelector('td.fault').textContent,
        weight: getComputedStyle(row.querySelector('td.fault')).fontWeight,
      })),
    }));
    assert.equal(found.banners, found.sheets);
    assert.ok(found.marked.length > 10);
    for (const { bar, says, weight } of found.marked) {
      assert.equal(bar, '5px');
      assert.match(says, /^! PL\d{4}: ./);
      assert.equal(weight, '700');
    }
    if (shots) await page.screenshot({ path: `${shots}/wrong-marks.png` });
  });
});

for (const name of sheetsOf) {
  describe(`the sheets of ${name}`, () => {
    for (const viewport of sizes) {
      it(`are a page of ${viewport.width} by ${viewport.height} without an error or a fault of access`, async () => {
        await at(sheets(name), { viewport }, async page => {
          assert.deepEqual(await accessFaults(page), []);
          if (shots) await page.screenshot({ path: `${shots}/${name}-sheets-${viewport.width}.png` });
        });
      });
    }

    it('are read, and found by their links, without scripts', async () => {
      await at(sheets(name), { javaScriptEnabled: false, viewport: sizes[0] }, async page => {
        const links = page.locator('nav a');
        const titles = await page.locator('section.sheet > h1').allTextContents();
        assert.deepEqual(await links.allTextContents(), titles);
        assert.ok(titles.length > 5);
        await links.last().click();
        const last = await page.locator('section.sheet').last().boundingBox();
        assert.ok(last.y < sizes[0].height, 'the last sheet is in sight');
      });
    });

    it('are whole on paper: what shares a page fits on one, no table is wider, and no label is cut', async () => {
      await at(sheets(name), { viewport: paper }, async page => {
        await page.emulateMedia({ media: 'print' });
        const found = await page.evaluate(({ width, height }) => {
          const faults = [];
          for (const sheet of document.querySelectorAll('section.sheet')) {
            const title = sheet.querySelector('h1').textContent;
            if (sheet.matches('.whole') && sheet.offsetHeight > height) faults.push(`higher than a page: ${title}`);
            if (sheet.scrollWidth > width) faults.push(`wider than a page: ${title}`);
            for (const label of sheet.querySelectorAll('.strip li'))
              if (label.scrollHeight > label.clientHeight || label.scrollWidth > label.clientWidth) faults.push(`cut: ${label.textContent}`);
          }
          return faults;
        }, paper);
        assert.deepEqual(found, []);
        if (shots) await page.screenshot({ path: `${shots}/${name}-sheets-paper.png` });
      });
    });
  });
}
