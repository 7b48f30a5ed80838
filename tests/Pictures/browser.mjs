// The browser that looks at pages, for the tests of one file: it starts before the first and ends behind the last.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { after, before } from 'node:test';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

export const sizes = [{ width: 1280, height: 800 }, { width: 390, height: 844 }];
export const shots = process.env.PICTURES; // a folder for pictures to look at, if wanted

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
let browser;

before(async () => {
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: ['--no-sandbox', '--disable-gpu', '--disable-dev-shm-usage', '--disable-background-networking', '--disable-component-update'],
  });
});
after(() => browser?.close());

// Opens a file, does something, and holds that nothing went wrong on the page and nothing was loaded from elsewhere.
export async function at(path, options, action) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const wrong = [];
  page.on('pageerror', error => wrong.push(String(error)));
  page.on('console', message => message.type() === 'error' && wrong.push(message.text()));
  page.on('request', request => request.url().startsWith('file:') || wrong.push(`asked for ${request.url()}`));
  await page.goto(pathToFileURL(path).href);
  await action(page);
  await context.close();
  assert.deepEqual(wrong, []);
}

// The faults of access that axe knows, one line for each rule.
export async function accessFaults(page) {
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => globalThis.axe.run());
  return violations.map(v => `${v.id}: ${v.help}: ${v.nodes[0].html.slice(0, 200)}`);
}
