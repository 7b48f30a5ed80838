// A window of the editor, as somebody in front of it has it: gestures, and what can be seen.
// Every wait is for something to be seen. A gesture that the editor may swallow while it settles is made again, and said to be.
import path from 'node:path';

const patience = 30_000; // milliseconds until a state has to have come
const starting = 90_000; // the same, for the editor and the server to start

export class Workbench {
  /** A window of its own, with nothing that an earlier one left behind. */
  static async in(browser, { viewport = { width: 1360, height: 860 }, say }) {
    const context = await browser.newContext({ viewport, reducedMotion: 'reduce' });
    return new Workbench(context, await context.newPage(), say);
  }

  /** The hosts that the browser asked for anything. */
  asked = new Set();

  constructor(context, page, say) {
    this.context = context;
    this.page = page;
    this.say = say;
    page.on('request', request => {
      const { protocol, host } = new URL(request.url());
      if (!['data:', 'blob:'].includes(protocol)) this.asked.add(host);
    });
  }

  /** Opens a folder with a file in it, and says whether its authors are trusted. */
  async open(url, folder, { file, trusted = true }) {
    const files = [['openFile', `vscode-remote://${new URL(url).host}${path.join(folder, file)}`]];
    await this.page.goto(`${url}/?folder=${encodeURIComponent(folder)}&payload=${encodeURIComponent(JSON.stringify(files))}`, { waitUntil: 'domcontentloaded' });
    await this.page.getByRole('button', { name: trusted ? /^Yes, I trust/ : /^No, I don't trust/ }).click({ timeout: starting });
    await this.tab(file).waitFor({ timeout: starting });
  }

  close() {
    return this.context.close();
  }

  picture(file) {
    return this.page.screenshot({ path: file });
  }

  // ---- waiting --------------------------------------------------------------------------------

  /** Waits until `probe` gives something; returns it. */
  async until(what, probe, limit = patience) {
    const end = Date.now() + limit;
    for (;;) {
      const seen = await probe();
      if (seen) return seen;
      if (Date.now() > end) throw new Error(`not seen within ${limit / 1000} s: ${what}`);
      await new Promise(go => setTimeout(go, 25)); // between two looks
    }
  }

  /** Makes a gesture until it shows; every further try is said. Returns what `seen` gives. */
  async again(what, gesture, seen, limit = 8_000) {
    for (let tries = 1; ; tries++) {
      let reason;
      try {
        await gesture();
        return await this.until(what, seen, limit);
      } catch (error) {
        reason = error.message.split('\n')[0];
        if (tries === 5) throw error;
      }
      this.say(`again: ${what} (try ${tries}: ${reason})`);
      await this.page.keyboard.press('Escape');
    }
  }

  // ---- going about ----------------------------------------------------------------------------

  quickInput = () => this.page.locator('.quick-input-widget:visible input').first();

  quickRow = label => this.page.locator('.quick-input-list .monaco-list-row').filter({ hasText: label }).first();

  tab(file) {
    return this.page.locator('.tab', { has: this.page.getByText(path.basename(file), { exact: true }) }).first();
  }

  /** Runs a command by its title in the palette, category and all. */
  async command(title) {
    await this.again(
      `${title} in the palette`,
      async () => {
        await this.page.keyboard.press('F1');
        await this.quickInput().fill(`>${title}`, { timeout: 5_000 });
      },
      () => this.quickRow(title).isVisible()
    );
    await this.quickRow(title).click();
  }

  /** Opens a file with the cursor at a place, in the first group of editors: what stands beside it stays. */
  async goTo({ file, line, column }) {
    await this.again(
      `the cursor in ${file} at ${line}:${column}`,
      async () => {
        await this.page.keyboard.press('Control+1');
        await this.until('that no view beside the text takes the keys', () => this.page.evaluate(() => document.activeElement?.tagName !== 'IFRAME'), 5_000);
        await this.page.keyboard.press('Control+P');
        await this.quickInput().fill(`${file}:${line}:${column}`, { timeout: 5_000 });
        // What was open lately comes first, whatever it is called.
        await this.page.locator('.quick-input-list .monaco-list-row', { has: this.page.getByText(file, { exact: true }) }).first().click({ timeout: 5_000 });
      },
      async () => (await this.isActive(file)) && (await this.position()) === `${line}:${column}`
    );
  }

  async isActive(file) {
    return (await this.page.locator('.editor-group-container.active .tab.active').first().getAttribute('data-resource-name').catch(() => null)) === path.basename(file);
  }

  /** Where the status bar says that the cursor is, as line:column. */
  async position() {
    const text = await this.page.locator('#status\\.editor\\.selection').first().textContent().catch(() => '');
    const at = /Ln (\d+), Col (\d+)/.exec(text ?? '');
    return at && `${at[1]}:${at[2]}`;
  }

  /** Saves, and waits for the dot on the tab to go. */
  async save() {
    await this.again(
      'the file saved',
      () => this.page.keyboard.press('Control+S'),
      async () => (await this.page.locator('.editor-group-container.active .tab.active.dirty').count()) === 0
    );
  }

  /** Takes back what was not saved. */
  async revert(file) {
    await this.goTo({ file, line: 1, column: 1 });
    await this.command('File: Revert File');
    await this.until(`${file} as it was`, async () => (await this.page.locator('.editor-group-container.active .tab.active.dirty').count()) === 0);
  }

  // ---- the text -------------------------------------------------------------------------------

  editor = () => this.page.locator('.editor-group-container.active .editor-instance .monaco-editor').first();

  /** The lines in sight, as pieces: text and colour. */
  pieces() {
    return this.editor().locator('.view-line').evaluateAll(lines =>
      lines.map(line => [...line.querySelectorAll('span > span')].map(piece => ({ text: piece.textContent.replace(/\u00a0/g, ' '), colour: getComputedStyle(piece).color })))
    );
  }

  /** Where on the screen a text stands: the first in the first line in sight that has `line` in it. */
  spot(line, text) {
    return this.editor().evaluate(
      (editor, { line, text }) => {
        const plain = whole => whole.replace(/\u00a0/g, ' ');
        const found = [...editor.querySelectorAll('.view-line')].find(one => plain(one.textContent).includes(line));
        if (!found) return null;
        let start = plain(found.textContent).indexOf(text, plain(found.textContent).indexOf(line));
        if (start < 0) return null;
        const pieces = document.createTreeWalker(found, NodeFilter.SHOW_TEXT);
        while (pieces.nextNode() && start >= pieces.currentNode.length) start -= pieces.currentNode.length;
        const range = document.createRange();
        range.setStart(pieces.currentNode, start);
        range.setEnd(pieces.currentNode, Math.min(pieces.currentNode.length, start + text.length));
        const { x, y, width, height } = range.getBoundingClientRect();
        return { x: x + width / 2, y: y + height / 2 };
      },
      { line, text }
    );
  }

  squiggles = (kind = 'error') => this.editor().locator(`.squiggly-${kind}`);

  /** What is told over a piece of a line in sight. */
  async hover(line, text, told) {
    const hover = this.page.locator('.monaco-hover:visible').filter({ hasText: told }).first();
    return this.again(
      `what is told of ${text}`,
      async () => {
        const spot = await this.until(`"${text}" in the line "${line}"`, () => this.spot(line, text), 5_000);
        // From somewhere else, since only a pointer that moves asks.
        await this.page.mouse.move(spot.x, spot.y - 60);
        await this.page.mouse.move(spot.x, spot.y, { steps: 4 });
      },
      async () => (await hover.isVisible()) && hover.innerText()
    );
  }

  /** Picks a mend of what is wrong at the cursor; `mended` says whether it came about. `look` is called while mends are offered. */
  async mend(title, mended, look) {
    const offered = this.page.locator('.action-widget .monaco-list-row').filter({ hasText: title }).first();
    await this.again(
      `the mend "${title}"`,
      async () => {
        await this.page.keyboard.press('Control+.');
        await offered.waitFor({ timeout: 8_000 });
        await look?.();
        await offered.click({ timeout: 3_000 });
      },
      mended
    );
  }

  /** What is offered at the cursor: each with what stands beside it. */
  async offered(until) {
    const rows = this.page.locator('.suggest-widget.visible .monaco-list-row');
    return this.again(
      'what may stand at the cursor',
      () => this.page.keyboard.press('Control+Space'),
      async () => {
        const labels = await rows.allTextContents();
        return until(labels) && labels;
      }
    );
  }

  // ---- around the text ------------------------------------------------------------------------

  /** The list of tests: what each says, and whether its mark is that of one that passed or failed. */
  async tests() {
    const closed = this.page.locator('.test-explorer .monaco-tl-twistie.collapsed').first();
    if (await closed.isVisible()) await closed.click();
    return this.page.locator('.test-explorer .monaco-list-row').evaluateAll(rows =>
      rows.map(row => ({ says: row.textContent, passed: row.querySelector('[class*="testing-passed"]') !== null, failed: row.querySelector('[class*="testing-failed"], [class*="testing-error"]') !== null }))
    );
  }

  /** The frame of a view that has something in it. */
  async frameWith(selector) {
    for (const frame of this.page.frames()) {
      // Frames come and go meanwhile.
      if (frame !== this.page.mainFrame() && (await frame.locator(selector).first().isVisible().catch(() => false))) return frame;
    }
    return undefined;
  }

  statusBar = text => this.page.locator('.statusbar-item').filter({ hasText: text }).first();

  /** Opens the list of findings; returns what it says. */
  async problems() {
    const rows = this.page.locator('.markers-panel .monaco-list-row');
    if (!(await this.page.locator('.markers-panel').isVisible())) await this.command('View: Focus Problems');
    await this.page.locator('.markers-panel').waitFor({ timeout: patience });
    return rows.allTextContents();
  }
}
