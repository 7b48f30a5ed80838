// Where the server is: the program that the setting names, else the one that came with the extension, else the one on the PATH.
import * as path from 'node:path';

/** What the lookup knows of the machine. */
export interface Machine {
  /** The setting `patchlang.server.path`; empty if it is not set. */
  readonly setting: string;
  /** The folder that the extension is installed in. */
  readonly extensionFolder: string;
  readonly platform: NodeJS.Platform;
  readonly homeFolder: string;
  /** The environment variable PATH. */
  readonly searchPath: string;
  /** The environment variable DOTNET_ROOT, where the .NET runtime may be; empty if it is not set. */
  readonly dotnetRoot: string;
  /** Whether there is a file that can be run. */
  isProgram(file: string): boolean;
  /** Whether there is a file. */
  isFile(file: string): boolean;
  /** A file with all links followed. */
  realPath(file: string): string;
  /** The names of what is in a folder; undefined if there is none. */
  entriesOf(folder: string): readonly string[] | undefined;
}

/** A program that was found, with what comes before its own arguments; or why there is none, and what to do. */
export type Lookup =
  | { readonly found: true; readonly command: string; readonly arguments: readonly string[]; readonly origin: 'setting' | 'extension' | 'PATH' }
  | { readonly found: false; readonly reason: string };

/** The least version of the .NET runtime that the portable program runs on. */
export const leastRuntime = 10;

const otherwise = 'Or say in the setting patchlang.server.path where a patchlang program is. Until then there are colours and snippets alone.';

export function findServer(machine: Machine): Lookup {
  const { join } = pathsOf(machine);
  const program = machine.platform === 'win32' ? 'patchlang.exe' : 'patchlang';

  // What the setting names is used or complained of: another program in its place would only puzzle.
  if (machine.setting.trim() !== '') return ofSetting(machine, machine.setting.trim());

  const native = join(machine.extensionFolder, 'server', program);
  if (machine.isProgram(native)) return { found: true, command: native, arguments: [], origin: 'extension' };

  const portable = join(machine.extensionFolder, 'server', 'PatchLang.Cli.dll');
  const runtime = machine.isFile(portable) ? findRuntime(machine) : undefined;
  if (runtime?.isFit) return { found: true, command: runtime.command, arguments: [portable], origin: 'extension' };

  for (const folder of foldersOnPath(machine)) {
    const file = join(folder, program);
    if (machine.isProgram(file)) return { found: true, command: file, arguments: [], origin: 'PATH' };
  }

  if (!runtime) return { found: false, reason: `There is no patchlang program: none came with this extension, and none is on the PATH. Install patchlang. ${otherwise}` };
  return { found: false, reason: `The program that came with this extension runs on the .NET runtime ${leastRuntime} or later, and ${runtime.problem}. Install it, and try again. ${otherwise}` };
}

function ofSetting(machine: Machine, setting: string): Lookup {
  const { join, isAbsolute } = pathsOf(machine);
  const file = /^~[\\/]/.test(setting) ? join(machine.homeFolder, setting.slice(2)) : setting;
  if (!isAbsolute(file)) return { found: false, reason: `The setting patchlang.server.path says "${setting}". It has to be a full path.` };
  const missing = (what: string): Lookup => ({ found: false, reason: `The setting patchlang.server.path names ${file}, and there is no such ${what}. Mend the setting, or leave it empty.` });
  if (!file.toLowerCase().endsWith('.dll')) return machine.isProgram(file) ? { found: true, command: file, arguments: [], origin: 'setting' } : missing('program');
  if (!machine.isFile(file)) return missing('file');
  const runtime = findRuntime(machine);
  if (runtime.isFit) return { found: true, command: runtime.command, arguments: [file], origin: 'setting' };
  return { found: false, reason: `The setting patchlang.server.path names ${file}, which runs on the .NET runtime ${leastRuntime} or later, and ${runtime.problem}. Install it, and try again.` };
}

type Runtime = { readonly isFit: true; readonly command: string } | { readonly isFit: false; readonly problem: string };

/** The first `dotnet` with a runtime that is new enough, or one of which that cannot be seen; else what is wrong. */
function findRuntime(machine: Machine): Runtime {
  const { join, dirname } = pathsOf(machine);
  const program = machine.platform === 'win32' ? 'dotnet.exe' : 'dotnet';
  const usual =
    machine.platform === 'win32'
      ? ['C:\\Program Files\\dotnet']
      : ['/usr/lib/dotnet', '/usr/share/dotnet', '/usr/local/share/dotnet', join(machine.homeFolder, '.dotnet')];
  const versions: string[] = [];
  for (const folder of [...(machine.dotnetRoot ? [machine.dotnetRoot] : []), ...foldersOnPath(machine), ...usual]) {
    const command = join(folder, program);
    if (!machine.isProgram(command)) continue;
    // A script that stands for it has no runtimes beside it: it is believed.
    const there = machine.entriesOf(join(dirname(machine.realPath(command)), 'shared', 'Microsoft.NETCore.App'));
    if (!there || there.some(version => Number.parseInt(version, 10) >= leastRuntime)) return { isFit: true, command };
    versions.push(...there);
  }
  const newest = versions.sort((a, b) => Number.parseFloat(b) - Number.parseFloat(a))[0];
  return { isFit: false, problem: newest === undefined ? 'there is none here' : `the newest here is ${newest}` };
}

// A relative folder on the PATH would mean one in whatever folder is open: nothing is run from there.
function foldersOnPath(machine: Machine): string[] {
  return machine.searchPath.split(machine.platform === 'win32' ? ';' : ':').filter(folder => pathsOf(machine).isAbsolute(folder));
}

function pathsOf({ platform }: Machine): path.PlatformPath {
  return platform === 'win32' ? path.win32 : path.posix;
}
