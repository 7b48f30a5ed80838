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
  /** Whether there is a file that can be run. */
  isProgram(file: string): boolean;
  /** Whether there is a file. */
  isFile(file: string): boolean;
}

/** A program that was found, with what comes before its own arguments; or why there is none, and what to do. */
export type Lookup =
  | { readonly found: true; readonly command: string; readonly arguments: readonly string[]; readonly origin: 'setting' | 'extension' | 'PATH' }
  | { readonly found: false; readonly reason: string };

export function findServer(machine: Machine): Lookup {
  const { join, isAbsolute } = machine.platform === 'win32' ? path.win32 : path.posix;
  const program = machine.platform === 'win32' ? 'patchlang.exe' : 'patchlang';

  // What the setting names is used or complained of: another program in its place would only puzzle.
  const setting = machine.setting.trim();
  if (setting !== '') {
    const file = /^~[\\/]/.test(setting) ? join(machine.homeFolder, setting.slice(2)) : setting;
    if (!isAbsolute(file)) {
      return { found: false, reason: `The setting patchlang.server.path says "${setting}". It has to be a full path.` };
    }
    if (file.toLowerCase().endsWith('.dll')) {
      return machine.isFile(file)
        ? { found: true, command: 'dotnet', arguments: [file], origin: 'setting' }
        : { found: false, reason: `The setting patchlang.server.path names ${file}, and there is no such file. Mend the setting, or leave it empty.` };
    }
    return machine.isProgram(file)
      ? { found: true, command: file, arguments: [], origin: 'setting' }
      : { found: false, reason: `The setting patchlang.server.path names ${file}, and there is no such program. Mend the setting, or leave it empty.` };
  }

  const bundled = join(machine.extensionFolder, 'server', program);
  if (machine.isProgram(bundled)) return { found: true, command: bundled, arguments: [], origin: 'extension' };

  // A relative folder on the PATH would mean one in whatever folder is open: nothing is run from there.
  const folders = machine.searchPath.split(machine.platform === 'win32' ? ';' : ':').filter(isAbsolute);
  for (const folder of folders) {
    const file = join(folder, program);
    if (machine.isProgram(file)) return { found: true, command: file, arguments: [], origin: 'PATH' };
  }

  return {
    found: false,
    reason: 'There is no patchlang program: none came with this extension, and none is on the PATH. Install patchlang, or say where it is in the setting patchlang.server.path. Until then there are colours and snippets alone.',
  };
}
