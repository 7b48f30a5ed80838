// The same plan and the same questions, in two editors: each one's own client of the server is told the same.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { part, program } from './tried.mjs';

const asked = path.join(import.meta.dirname, '../agreement');
const files = ['quay.rig', 'questions.json'];
const questions = JSON.parse(fs.readFileSync(path.join(asked, 'questions.json'), 'utf8'));

const step = part('two editors', {
  file: 'asked/quay.rig',
  prepare: festival => files.forEach(file => festival.write(`asked/${file}`, fs.readFileSync(path.join(asked, file), 'utf8'))),
});

step('are told the same of the same plan', async ({ window, festival, say }) => {
  const answers = festival.pathOf('asked/answers.json');
  const here = JSON.parse(await window.until('the answers', () => fs.existsSync(answers) && fs.readFileSync(answers, 'utf8'), 60_000));
  const there = neovim();
  assert.equal(there.length, questions.length);
  for (const [i, { answer, ...question }] of here.entries()) {
    assert.ok(answer.length > 0, `no answer to ${JSON.stringify(question)}`);
    assert.deepEqual(there[i], { answer, ...question });
  }
  say(`agreed: ${here.length} answers`);
});

// What Neovim says, with the program that came in the package.
function neovim() {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'patchlang-neovim-'));
  try {
    for (const file of files) fs.copyFileSync(path.join(asked, file), path.join(folder, file));
    const env = { ...process.env, XDG_CACHE_HOME: path.join(folder, 'cache'), PATCHLANG_COMMAND: `${program()} serve` };
    const ran = spawnSync('nvim', ['--headless', '--clean', '-c', `luafile ${path.join(asked, 'answers.lua')}`, '-c', 'cquit!'], { cwd: folder, env, encoding: 'utf8', timeout: 60_000 });
    assert.equal(ran.status, 0, ran.stderr + ran.stdout);
    return JSON.parse(fs.readFileSync(path.join(folder, 'answers.json'), 'utf8'));
  } finally {
    fs.rmSync(folder, { recursive: true, force: true });
  }
}
