// Packs the extension, with the program in it:
//
//   node package.mjs                  for any system: the portable program, which needs a .NET runtime. Gives patchlang.vsix
//   node package.mjs --native         for this system: the native program. Gives patchlang-linux-x64.vsix, or what the system is
//   --program PATH                    takes what is built already: a native program, with the folder scripts beside it if there is one, or
//                                     the folder of a portable one
//   --bare                            brings no program: the one on the PATH serves
//   --out FILE                        writes there
import { execFileSync } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import { parseArgs } from 'node:util';

const here = import.meta.dirname;
const given = parseArgs({ options: { native: { type: 'boolean' }, program: { type: 'string' }, bare: { type: 'boolean' }, out: { type: 'string' } } }).values;
const isFolder = given.program !== undefined && fs.statSync(given.program).isDirectory();
const isNative = !given.bare && !isFolder && (given.native || given.program !== undefined);
const system = `${process.platform}-${process.arch}`;
const out = path.resolve(given.out ?? path.join(here, isNative ? `patchlang-${system}.vsix` : 'patchlang.vsix'));
const server = path.join(here, 'server');

// What .NET calls a system.
const runtime = `${{ win32: 'win', darwin: 'osx' }[process.platform] ?? process.platform}-${process.arch}`;

/** What makes the portable program: small, without a launcher of its own, and content with newer runtimes, too. */
const portable = ['-p:PublishAot=false', '--self-contained', 'false', '-p:UseAppHost=false', '-p:RollForward=Major'];
const publish = () => {
  const project = path.join(here, '../src/PatchLang.Cli');
  const kind = isNative ? ['-r', runtime, '-p:PublishAot=true'] : portable;
  execFileSync('dotnet', ['publish', project, '-c', 'Release', '-o', server, '-v', 'quiet', '--nologo', ...kind], { stdio: 'inherit' });
};

fs.rmSync(server, { recursive: true, force: true });
try {
  if (!given.bare) {
    fs.mkdirSync(server);
    if (given.program === undefined) publish();
    else if (isFolder) fs.cpSync(given.program, server, { recursive: true });
    else {
      fs.cpSync(given.program, path.join(server, process.platform === 'win32' ? 'patchlang.exe' : 'patchlang'));
      const scripts = path.join(path.dirname(given.program), 'scripts');
      if (fs.existsSync(scripts)) fs.cpSync(scripts, path.join(server, 'scripts'), { recursive: true });
    }
    // What is for finding faults in the program stays here. What scripts are written against keeps its documentation.
    for (const file of fs.readdirSync(server)) if (/\.(pdb|dbg|xml)$/.test(file)) fs.rmSync(path.join(server, file));
    for (const file of fs.readdirSync(server, { recursive: true })) if (file.endsWith('.pdb')) fs.rmSync(path.join(server, file));
    fs.copyFileSync(path.join(here, '../src/PatchLang.Cli/notices.txt'), path.join(server, 'notices.txt'));
  }
  fs.copyFileSync(path.join(here, '../LICENSE'), path.join(here, 'LICENSE'));
  const vsce = path.join(here, 'node_modules/@vscode/vsce/vsce');
  execFileSync(process.execPath, [vsce, 'package', '--no-dependencies', '--allow-missing-repository', '--out', out, ...(isNative ? ['--target', system] : [])], { cwd: here, stdio: 'inherit' });
} finally {
  fs.rmSync(server, { recursive: true, force: true });
}
