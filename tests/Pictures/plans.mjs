// Drawings, comparisons and sheets made by the program under test, into a folder that is gone when the tests are done.
import { execFileSync, spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = join(dirname(fileURLToPath(import.meta.url)), '..', '..');

// PATCHLANG_PROGRAM names a program; without it the one built from source is run.
const program = process.env.PATCHLANG_PROGRAM
  ? [process.env.PATCHLANG_PROGRAM]
  : ['dotnet', join(root, 'src', 'PatchLang.Cli', 'bin', 'Debug', 'net10.0', 'PatchLang.Cli.dll')];

const folder = mkdtempSync(join(tmpdir(), 'patchlang-pictures-'));
process.on('exit', () => rmSync(folder, { recursive: true, force: true }));

export const drawings = [
  { name: 'lantern-quay', plan: 'samples/lantern-quay/lantern-quay.rig', of: 'rig' },
  { name: 'lantern-quay-clocks', plan: 'samples/lantern-quay/lantern-quay.rig', of: 'clocks' },
  { name: 'lantern-quay-lead', plan: 'samples/lantern-quay/lantern-quay.rig', of: 'lead' },
  { name: 'ten-minutes', plan: 'samples/ten-minutes/ten-minutes.rig', of: 'rig' },
  { name: 'studio', plan: 'samples/studio-without-desk/studio-without-desk.rig', of: 'rig' },
  { name: 'wrong', plan: 'samples/wrong/wrong.rig', of: 'rig' },
  { name: 'wrong-clocks', plan: 'samples/wrong/wrong.rig', of: 'clocks' },
  { name: 'sixty-units', plan: 'tests/Pictures/sixty-units.rig', of: 'rig' },
];

// The path of a drawing in a format.
export function draw({ name, plan, of }, format) {
  const path = join(folder, `${name}.${format}`);
  execFileSync(program[0], [...program.slice(1), 'draw', join(root, plan), '--of', of, '--format', format, '--to', path], { stdio: 'pipe' });
  return path;
}

// Two plans to be compared, by a copy of a sample with pieces of its text exchanged; what it was, and what it is to be.
export const compared = [
  {
    name: 'a-day-changed', of: 'samples/lantern-quay', plan: 'lantern-quay.rig',
    exchange: [
      ['inputs.rig', '"Soprano solo" : split.stage[33] ->', '"Soprano solo" : split.stage[32] ->'],
      ['monitors.rig', 'mon.local[16..17, 22..31, 33] ->', 'mon.local[16..17, 22..32] ->'],
      ['equipment.rig', 'coax 5 m "R"', 'coax 15 m "R"'],
      ['equipment.rig', 'unit loop_amp : LoopAmplifier "Hearing loop"', 'unit foyer : LoopAmplifier "Foyer"'],
      ['equipment.rig', 'cable desk.line[5]    -> loop_amp.line : twisted_pair 5 m "Loop"', 'cable desk.line[7]    -> foyer.line : twisted_pair 25 m "F"'],
      ['outputs.rig', 'feed loop "Hearing loop"', 'feed foyer_mix "Foyer"'],
      ['outputs.rig', 'desk.line[5] -> loop_amp.loop', 'desk.line[7] -> foyer.loop'],
      ['lantern-quay.rig', 'expect loop never', 'expect foyer_mix never'],
      ['lantern-quay.rig', 'expect loop hears', 'expect foyer_mix hears'],
    ],
  },
  { name: 'another-rig', of: 'samples/studio-without-desk', plan: 'studio-without-desk.rig', from: 'samples/lantern-quay/lantern-quay.rig', exchange: [] },
];

// The path of a comparison in a format. Its exit code says that something changes.
export function compare({ name, of, plan, from, exchange }, format) {
  const now = join(folder, name);
  cpSync(join(root, of), now, { recursive: true });
  for (const [file, old, changed] of exchange) {
    const text = readFileSync(join(now, file), 'utf8');
    if (!text.includes(old)) throw new Error(`${file} has no ${old}`);
    writeFileSync(join(now, file), text.replace(old, changed));
  }
  const { status, stdout, stderr } = spawnSync(program[0], [...program.slice(1), 'compare', join(root, from ?? join(of, plan)), join(now, plan), '--format', format], { encoding: 'utf8', maxBuffer: 1 << 26 });
  if (status !== 1) throw new Error(`compare ended with ${status}: ${stderr}`);
  const path = join(folder, `${name}-${format}.${format === 'svg' ? 'svg' : 'html'}`);
  writeFileSync(path, stdout);
  return path;
}

export const sheetsOf = ['lantern-quay', 'ten-minutes', 'studio-without-desk', 'wrong'];

// The path of a plan's sheets as a page to print. Of a plan with faults the exit code is 1, and there are sheets all the same.
export function sheets(name) {
  const to = join(folder, `${name}-sheets`);
  const { status, stderr } = spawnSync(program[0], [...program.slice(1), 'sheets', join(root, 'samples', name, `${name}.rig`), '--to', to, '--format', 'html'], { encoding: 'utf8' });
  if (status !== (name === 'wrong' ? 1 : 0)) throw new Error(`sheets ended with ${status}: ${stderr}`);
  return join(to, 'sheets.html');
}
