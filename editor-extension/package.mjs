// Packs the extension: patchlang.vsix. What lies in server/ (a native `patchlang`) goes with it, and makes it one for this platform.
import { execFileSync } from 'node:child_process';
import fs from 'node:fs';

const here = import.meta.dirname;
const out = process.argv[2] ?? `${here}/patchlang.vsix`;
const program = process.platform === 'win32' ? 'patchlang.exe' : 'patchlang';
const target = fs.existsSync(`${here}/server/${program}`) ? ['--target', `${process.platform}-${process.arch}`] : [];

fs.copyFileSync(`${here}/../LICENSE`, `${here}/LICENSE`);
execFileSync(
  process.execPath,
  [`${here}/node_modules/@vscode/vsce/vsce`, 'package', '--no-dependencies', '--allow-missing-repository', '--out', out, ...target],
  { cwd: here, stdio: 'inherit' }
);
