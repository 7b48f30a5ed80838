// The sample plan of a festival day, to try things on: a copy in a folder of its own, which is a git repository.
import { execFileSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';

const sample = path.join(import.meta.dirname, '../../../samples/lantern-quay');

export class Festival {
  constructor() {
    // The window's title and the side bar show the last part of the path.
    this.above = fs.mkdtempSync(path.join(os.tmpdir(), 'patchlang-festival-'));
    this.folder = path.join(this.above, 'lantern-quay');
    fs.cpSync(sample, this.folder, { recursive: true });
    this.git('init', '--quiet', '--initial-branch=main');
    this.commit('The festival day');
    process.once('exit', () => this.remove());
  }

  git(...given) {
    const who = ['-c', 'user.name=Lantern Quay', '-c', 'user.email=crew@lantern-quay.example', '-c', 'commit.gpgsign=false'];
    return execFileSync('git', [...who, ...given], { cwd: this.folder, encoding: 'utf8' });
  }

  commit(message) {
    this.git('add', '--all');
    this.git('commit', '--quiet', '--message', message);
  }

  pathOf(file) {
    return path.join(this.folder, file);
  }

  read(file) {
    return fs.readFileSync(this.pathOf(file), 'utf8');
  }

  write(file, text) {
    fs.mkdirSync(path.dirname(this.pathOf(file)), { recursive: true });
    fs.writeFileSync(this.pathOf(file), text);
  }

  /** The line and column, from 1, of the first `text` in a file; `before` is as much of it as stands ahead of the place. */
  placeOf(file, text, before = '') {
    const whole = this.read(file);
    const start = whole.indexOf(text);
    if (start < 0 || !text.startsWith(before)) throw new Error(`${file} has no "${text}", or that does not begin with "${before}"`);
    const lines = whole.slice(0, start + before.length).split('\n');
    return { file, line: lines.length, column: lines.at(-1).length + 1 };
  }

  remove() {
    fs.rmSync(this.above, { recursive: true, force: true });
  }
}
