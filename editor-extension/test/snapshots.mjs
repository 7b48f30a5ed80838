// Colours of whole plans, kept in snapshots/ and held against the samples as they are. `--accept` writes them anew: read the difference.
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';

const root = path.join(import.meta.dirname, '..');
const kept = path.join(import.meta.dirname, 'snapshots');
export const samples = ['ten-minutes/ten-minutes.rig', 'studio-without-desk/studio-without-desk.rig', 'lantern-quay/crew.rig'];

/** Runs the comparison over copies of the samples, since snapshots have to lie beside what they are of. */
export function compare({ isAccepting = false } = {}) {
  const work = fs.mkdtempSync(path.join(os.tmpdir(), 'colours-'));
  try {
    for (const sample of samples) {
      const name = path.basename(sample);
      fs.copyFileSync(path.join(root, '..', 'samples', sample), path.join(work, name));
      // One that is missing would be written, and so pass.
      if (!isAccepting) fs.copyFileSync(path.join(kept, `${name}.snap`), path.join(work, `${name}.snap`));
    }
    const program = path.join(root, 'node_modules/vscode-tmgrammar-test/dist/snapshot.js');
    const run = spawnSync(process.execPath, [program, '--config', 'package.json', ...(isAccepting ? ['--updateSnapshot'] : []), `${work}/*.rig`], { cwd: root, encoding: 'utf8' });
    if (isAccepting) for (const sample of samples) fs.copyFileSync(path.join(work, `${path.basename(sample)}.snap`), path.join(kept, `${path.basename(sample)}.snap`));
    return run;
  } finally {
    fs.rmSync(work, { recursive: true });
  }
}

if (process.argv.includes('--accept')) process.stdout.write(compare({ isAccepting: true }).stdout);
