// The view beside the editor, with the server's own pictures of the festival day. PICTURES names a folder for pictures to look at.
// PATCHLANG_PROGRAM names the program; without it these are passed over.
import assert from 'node:assert/strict';
import fs from 'node:fs';
import path from 'node:path';
import test, { before } from 'node:test';
import { samples, skip, withServer } from './ask.mjs';
import { inView, pictureOf, themes } from './view.mjs';

const folder = path.join(samples, 'lantern-quay');
const shots = process.env.PICTURES;
const given = {};

before(async () => {
  if (skip) return;
  await withServer(async ({ ask, open, edit }) => {
    const root = await open(path.join(folder, 'lantern-quay.rig'));
    const inputs = await open(path.join(folder, 'inputs.rig'));
    const equipment = await open(path.join(folder, 'equipment.rig'));
    const lines = fs.readFileSync(path.join(folder, 'inputs.rig'), 'utf8').split('\n');
    const at = name => ({ line: lines.findIndex(line => line.startsWith(`feed ${name} `)), character: 'feed '.length });
    const drawing = params => ask('patchlang/drawing', params);
    given.rig = await drawing({ textDocument: { uri: inputs }, kind: 'rig', position: at('lead') });
    given.way = await drawing({ textDocument: { uri: inputs }, kind: 'feed', position: at('lead') });
    given.otherWay = await drawing({ textDocument: { uri: inputs }, kind: 'feed', of: 'kick' });
    given.clocks = await drawing({ textDocument: { uri: root }, kind: 'clocks' });
    given.bells = await drawing({ textDocument: { uri: root }, kind: 'rig', act: 'bells' });
    given.file = await ask('patchlang/drawingFile', { textDocument: { uri: root }, kind: 'rig' });
    // One unit more, before all others.
    const text = fs.readFileSync(path.join(folder, 'equipment.rig'), 'utf8');
    await edit(equipment, text.replace(/^unit /m, 'unit spare : StageRack(24, 8) "Spare rack"\nunit '));
    given.edited = await drawing({ textDocument: { uri: root }, kind: 'rig' });
  });
});

const named = name => `#drawing g.box[data-name="${name}"]`;
const middle = async locator => {
  const { x, y, width, height } = await locator.boundingBox();
  return [x + width / 2, y + height / 2];
};
const litBoxes = page => page.locator('#drawing g.box.lit').evaluateAll(boxes => boxes.map(box => box.dataset.name));

test('it says that it is ready, and with what it was left', { skip }, async () => {
  await inView({}, async ({ heard }) => assert.deepEqual(await heard('ready'), [{ type: 'ready', state: { kind: 'rig' } }]));
  const state = { document: 'file:///quay.rig', kind: 'clocks' };
  await inView({ kept: { state } }, async ({ heard }) => assert.deepEqual(await heard('ready'), [{ type: 'ready', state }]));
});

for (const [name, theme] of Object.entries(themes))
  test(`it shows rig, way and clocks on the ground of the theme (${name}), within its policy and without a fault of access`, { skip }, async () => {
    await inView({ theme }, async ({ page, say, faults }) => {
      for (const kind of ['rig', 'way', 'clocks']) {
        await say(pictureOf(given[kind]));
        assert.equal(await page.locator('#drawing g.box').count(), given[kind].svg.match(/<g class="box /g).length);
        if (shots) await page.screenshot({ path: `${shots}/view-${name}-${kind}-first.png` });
        // All of it in sight: what the edge cuts has words that axe takes for seen or unseen as it likes.
        await page.locator('#whole').click();
        assert.deepEqual(await faults(), []);
        const ground = await page.locator('#drawing').evaluate(svg => getComputedStyle(svg).backgroundColor);
        assert.equal(ground, await page.evaluate(() => getComputedStyle(document.body).backgroundColor));
        if (shots) await page.screenshot({ path: `${shots}/view-${name}-${kind}.png` });
      }
      await say({ type: 'held', words: 'Shown as it was before line 9 of inputs.rig: there is no unit rak.' });
      assert.deepEqual(await faults(), []);
      if (shots) await page.screenshot({ path: `${shots}/view-${name}-held.png` });
    });
  });

test('a theme on whose ground the palette can not be read does not get its ground', { skip }, async () => {
  const murky = { classes: 'vscode-light', colours: { 'editor-background': '#8a8f94', foreground: '#000000' } };
  await inView({ theme: murky }, async ({ page, say, dress }) => {
    await say(pictureOf(given.rig));
    const ground = () => page.locator('#drawing').evaluate(svg => getComputedStyle(svg).backgroundColor);
    assert.notEqual(await ground(), 'rgb(138, 143, 148)');
    await dress(themes.dark);
    await page.waitForFunction(() => document.body.classList.contains('on-dark'));
    assert.equal(await ground(), 'rgb(31, 31, 31)');
  });
});

test('a click on a thing, and Enter on it, lead to its line; a drag does not', { skip }, async () => {
  await inView({}, async ({ page, say, heard }) => {
    await say(pictureOf(given.rig));
    await page.locator('#whole').click();
    const desk = page.locator(named('desk'));
    const id = await desk.getAttribute('id');
    await page.mouse.click(...(await middle(desk)));
    assert.deepEqual(await heard('go'), [{ type: 'go', id }]);
    const line = page.locator('#drawing g.line').first();
    await line.focus();
    await page.keyboard.press('Enter');
    assert.deepEqual((await heard('go')).at(-1), { type: 'go', id: await line.getAttribute('id') });
    const [x, y] = await middle(desk);
    await page.mouse.move(x, y);
    await page.mouse.down();
    await page.mouse.move(x + 60, y + 10, { steps: 4 });
    await page.mouse.up();
    assert.equal((await heard('go')).length, 2);
  });
});

test('every thing that has a line is a link with a name, and Tab reaches it', { skip }, async () => {
  await inView({}, async ({ page, say }) => {
    await say(pictureOf(given.rig));
    const things = await page.locator('#drawing [tabindex="0"]').evaluateAll(all => all.map(thing => ({ id: thing.id, role: thing.getAttribute('role'), label: thing.getAttribute('aria-label') })));
    assert.ok(things.length > 40);
    for (const { id, role, label } of things) {
      assert.equal(role, given.rig.things.some(thing => thing.id === id) ? 'link' : 'img', id);
      assert.ok(label.length > 3, id);
    }
    await page.locator('#view').focus();
    const reached = [];
    for (let i = 0; i < 6; i++) {
      await page.keyboard.press('Tab');
      reached.push(await page.evaluate(() => document.activeElement.id));
    }
    assert.deepEqual(reached, things.slice(0, 6).map(thing => thing.id));
  });
});

test('what belongs to the cursor is lit and read out, and nothing is drawn for it', { skip }, async () => {
  await inView({}, async ({ page, say }) => {
    await say(pictureOf(given.rig));
    await page.locator('#drawing').evaluate(svg => (svg.isTheSame = true));
    const lit = await litBoxes(page);
    for (const name of ['split', 'rack', 'quay', 'desk']) assert.ok(lit.includes(name), name);
    assert.ok(!lit.includes('player'));
    assert.match(await page.locator('#told').textContent(), /^Lead vocal \(lead\): \d+ connections on its way$/);
    const id = await page.locator(named('player')).getAttribute('id');
    await say({ type: 'lit', ids: [id], words: 'Playback (player)' });
    assert.deepEqual(await litBoxes(page), ['player']);
    assert.equal(await page.locator('#told').textContent(), 'Playback (player)');
    await say({ type: 'lit', ids: [], words: '' });
    assert.deepEqual(await litBoxes(page), []);
    assert.equal(await page.locator('#drawing.following').count(), 0);
    assert.ok(await page.locator('#drawing').evaluate(svg => svg.isTheSame));
  });
});

test('what the cursor comes to is brought into sight, if nothing of it is there', { skip }, async () => {
  await inView({}, async ({ page, say, seen }) => {
    await say(pictureOf(given.rig));
    await page.locator('#whole').click();
    await page.mouse.move(...(await middle(page.locator(named('desk')))));
    await page.mouse.wheel(0, -900);
    const at = await seen();
    const [near, far] = await page.locator('#drawing g.box').evaluateAll(boxes => {
      const view = document.getElementById('view').getBoundingClientRect();
      const isSeen = box => {
        const { x, y, width, height } = box.getBoundingClientRect();
        return x + width / 2 > view.left && x + width / 2 < view.right && y + height / 2 > view.top && y + height / 2 < view.bottom;
      };
      return [boxes.find(isSeen).id, boxes.find(box => !isSeen(box)).id];
    });
    await say({ type: 'lit', ids: [far, near], words: 'both' });
    assert.equal(await seen(), at);
    await say({ type: 'lit', ids: [far], words: 'one' });
    assert.notEqual(await seen(), at);
    const view = await page.locator('#view').boundingBox();
    const [x, y] = await middle(page.locator(`#${far}`));
    assert.ok(Math.abs(x - view.x - view.width / 2) < 2 && Math.abs(y - view.y - view.height / 2) < 2);
  });
});

test('Escape leads from a thing back to the drawing', { skip }, async () => {
  await inView({}, async ({ page, say, seen }) => {
    await say(pictureOf(given.rig));
    await page.locator(named('split')).focus();
    await page.keyboard.press('Escape');
    assert.equal(await page.evaluate(() => document.activeElement.id), 'view');
    const at = await seen();
    await page.keyboard.press('ArrowRight');
    assert.notEqual(await seen(), at);
  });
});

test('an edit changes the picture and not what is looked at', { skip }, async () => {
  await inView({}, async ({ page, say, seen }) => {
    await say(pictureOf(given.rig));
    const [x, y] = await middle(page.locator(named('desk')));
    await page.mouse.move(x, y);
    await page.mouse.wheel(0, -500);
    // The middle of the view is where one looks: the desk comes there.
    const view = await page.locator('#view').boundingBox();
    const [fromX, fromY] = await middle(page.locator(named('desk')));
    await page.mouse.move(fromX, fromY);
    await page.mouse.down();
    await page.mouse.move(view.x + view.width / 2, view.y + view.height / 2, { steps: 5 });
    await page.mouse.up();
    const [wide, at] = [(await seen()).split(' ')[2], await middle(page.locator(named('desk')))];
    await say(pictureOf(given.edited));
    assert.equal(await page.locator(named('spare')).count(), 1);
    assert.equal((await seen()).split(' ')[2], wide);
    const now = await middle(page.locator(named('desk')));
    for (const axis of [0, 1]) assert.ok(Math.abs(now[axis] - at[axis]) < 1, `${at} became ${now}`);
  });
});

test('whoever sees all of it goes on seeing all of it', { skip }, async () => {
  await inView({}, async ({ page, say, seen }) => {
    await say(pictureOf(given.rig));
    await page.locator('#whole').click();
    await say(pictureOf(given.edited));
    assert.equal(await seen(), /viewBox="([^"]*)"/.exec(given.edited.svg)[1]);
  });
});

test('a picture that is the same is not put there again, and the focus outlives one that is not', { skip }, async () => {
  await inView({}, async ({ page, say }) => {
    await say(pictureOf(given.rig));
    await page.locator('#drawing').evaluate(svg => (svg.isTheSame = true));
    await page.locator(named('desk')).focus();
    await say(pictureOf(given.rig));
    assert.ok(await page.locator('#drawing').evaluate(svg => svg.isTheSame));
    await say(pictureOf(given.edited));
    assert.ok(!(await page.locator('#drawing').evaluate(svg => svg.isTheSame)));
    assert.equal(await page.evaluate(() => document.activeElement.dataset.name), 'desk');
  });
});

test('it is moved and enlarged by wheel, mouse, keys and buttons', { skip }, async () => {
  await inView({}, async ({ page, say, seen }) => {
    await say(pictureOf(given.rig));
    const whole = /viewBox="([^"]*)"/.exec(given.rig.svg)[1];
    const changes = async action => {
      const was = await seen();
      await action();
      assert.notEqual(await seen(), was);
    };
    await changes(() => page.locator('#whole').click());
    assert.equal(await seen(), whole);
    await page.mouse.move(400, 400);
    await changes(() => page.mouse.wheel(0, -300));
    await changes(async () => {
      await page.mouse.down();
      await page.mouse.move(300, 350, { steps: 4 });
      await page.mouse.up();
    });
    await page.locator('#view').focus();
    for (const key of ['ArrowLeft', 'ArrowDown', '+', '-', '0']) await changes(() => page.keyboard.press(key));
    assert.equal(await seen(), whole);
    await changes(() => page.locator('#larger').click());
    await changes(() => page.locator('#smaller').click());
  });
});

test('what it is left with is there again when the page is made anew', { skip }, async () => {
  let left, at;
  await inView({}, async ({ page, say, seen, kept }) => {
    await say(pictureOf(given.rig));
    await page.locator('#larger').click();
    [left, at] = [await kept(), await seen()];
  });
  await inView({ kept: left }, async ({ say, seen, heard }) => {
    assert.equal((await heard('ready'))[0].state.plan, given.rig.plan);
    await say(pictureOf(given.rig));
    assert.equal(await seen(), at);
  });
  // Another subject is not looked at through that window.
  await inView({ kept: left }, async ({ say, seen }) => {
    await say(pictureOf(given.clocks));
    assert.notEqual(await seen(), at);
  });
});

test('the way of another feed is looked at from its beginning', { skip }, async () => {
  await inView({}, async ({ page, say, seen }) => {
    await say(pictureOf(given.way));
    const first = await seen();
    for (let i = 0; i < 3; i++) await page.locator('#larger').click();
    const enlarged = (await seen()).split(' ')[2];
    await say(pictureOf(given.otherWay));
    assert.notEqual((await seen()).split(' ')[2], enlarged);
    await say(pictureOf(given.way));
    assert.equal(await seen(), first);
  });
});

test('tabs choose what is drawn, by mouse and by arrow keys, and acts what of it', { skip }, async () => {
  await inView({}, async ({ page, say, heard }) => {
    await say(pictureOf(given.rig));
    await page.getByRole('tab', { name: 'Clocks' }).click();
    await say(pictureOf(given.clocks));
    assert.equal(await page.getByRole('tab', { selected: true }).textContent(), 'Clocks');
    assert.equal(await page.getByRole('tabpanel').getAttribute('aria-labelledby'), 'tab-clocks');
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowRight');
    await page.locator('#act').selectOption({ label: 'Harbour Bells' });
    assert.deepEqual(
      (await heard('choose')).map(({ kind, act }) => [kind, act ?? null]),
      [['clocks', null], ['rig', null], ['feed', null], ['clocks', 'bells']]
    );
    await say(pictureOf(given.bells));
    assert.equal(await page.locator('#act').inputValue(), 'bells');
  });
});

test('while the text can not be made out the old picture stays, with the reason and two ways on', { skip }, async () => {
  await inView({}, async ({ page, say, heard }) => {
    await say(pictureOf(given.rig));
    await say({ type: 'held', words: 'Shown as it was before line 9 of inputs.rig: there is no unit rak.' });
    assert.ok(await page.locator(named('desk')).count());
    assert.match(await page.getByRole('alert').textContent(), /before line 9/);
    await page.getByRole('button', { name: 'Go there' }).click();
    await page.getByRole('button', { name: 'Draw it as it stands' }).click();
    assert.equal((await heard('goToTrouble')).length, 1);
    assert.equal((await heard('draw')).length, 1);
    await say(pictureOf(given.rig));
    assert.equal(await page.getByRole('alert').isVisible(), false);
  });
});

test('where there is nothing to draw it says why', { skip }, async () => {
  await inView({}, async ({ page, say }) => {
    await say(pictureOf(given.rig));
    await say({ type: 'none', state: { kind: 'feed' }, words: 'Put the cursor on a feed: its way is drawn here.' });
    assert.equal(await page.locator('#drawing').count(), 0);
    assert.ok(await page.getByText('Put the cursor on a feed').isVisible());
    assert.equal(await page.getByRole('tab', { selected: true }).textContent(), 'One feed’s way');
    await page.locator('#larger').click();
    await say(pictureOf(given.way));
    assert.equal(await page.getByText('Put the cursor on a feed').isVisible(), false);
  });
});

test('the file as pixels: as large as it is read at, twice, on light ground, with its colours', { skip }, async () => {
  await inView({ theme: themes.dark }, async ({ page, say }) => {
    await say({ type: 'pixels', svg: given.file.forPaper });
    await page.waitForFunction(() => globalThis.heard.some(message => message.type === 'pixels'));
    const [width, height] = /width="(\d+)" height="(\d+)"/.exec(given.file.forPaper).slice(1).map(Number);
    const found = await page.evaluate(async () => {
      const { png } = globalThis.heard.find(message => message.type === 'pixels');
      const bitmap = await createImageBitmap(new Blob([png], { type: 'image/png' }));
      const canvas = new OffscreenCanvas(bitmap.width, bitmap.height);
      const pen = canvas.getContext('2d');
      pen.drawImage(bitmap, 0, 0);
      const { data } = pen.getImageData(0, 0, bitmap.width, bitmap.height);
      const colours = new Set();
      for (let i = 0; i < data.length; i += 4) colours.add((data[i] << 16) | (data[i + 1] << 8) | data[i + 2]);
      return { width: bitmap.width, height: bitmap.height, corner: [...data.slice(0, 3)], colours: [...colours] };
    });
    assert.deepEqual([found.width, found.height], [2 * width, 2 * height]);
    assert.deepEqual(found.corner, [0xfb, 0xfa, 0xf6]);
    // The tone of analogue lines, and of networks.
    for (const tone of [0x7c4708, 0x1b663a]) assert.ok(found.colours.includes(tone), tone.toString(16));
  });
  await inView({}, async ({ page, say }) => {
    await say({ type: 'pixels', svg: '<svg/>' });
    await page.waitForFunction(() => globalThis.heard.some(message => message.type === 'pixels'));
    assert.match((await page.evaluate(() => globalThis.heard.at(-1))).problem, /no size/);
  });
});

test('the buttons that save say in which form', { skip }, async () => {
  await inView({}, async ({ page, heard }) => {
    await page.getByRole('button', { name: 'Save SVG' }).click();
    await page.getByRole('button', { name: 'Save PNG' }).click();
    assert.deepEqual((await heard('save')).map(message => message.format), ['svg', 'png']);
  });
});
