// Drawings and sheets made by the program under test, into a folder that is gone when the tests are done.
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
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

export const sheetsOf = ['lantern-quay', 'ten-minutes', 'studio-without-desk'];

// The path of a plan's sheets as a page to print.
export function sheets(name) {
  const to = join(folder, `${name}-sheets`);
  execFileSync(program[0], [...program.slice(1), 'sheets', join(root, 'samples', name, `${name}.rig`), '--to', to, '--format', 'html'], { stdio: 'pipe' });
  return join(to, 'sheets.html');
}
