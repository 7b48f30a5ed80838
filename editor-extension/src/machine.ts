// The machine that the editor runs on, as the lookup asks of it.
import * as fs from 'node:fs';
import * as os from 'node:os';
import * as vscode from 'vscode';
import type { Machine } from './serverLookup';

export function machineOf(context: vscode.ExtensionContext): Machine {
  return {
    setting: vscode.workspace.getConfiguration('patchlang').get('server.path', ''),
    extensionFolder: context.extensionPath,
    platform: process.platform,
    homeFolder: os.homedir(),
    searchPath: process.env['PATH'] ?? '',
    dotnetRoot: process.env['DOTNET_ROOT'] ?? '',
    isProgram: file => isFile(file) && canRun(file),
    isFile,
    realPath: file => fs.realpathSync(file),
    entriesOf,
  };
}

function isFile(file: string): boolean {
  return fs.statSync(file, { throwIfNoEntry: false })?.isFile() ?? false;
}

function canRun(file: string): boolean {
  try {
    fs.accessSync(file, fs.constants.X_OK);
    return true;
  } catch {
    return false;
  }
}

function entriesOf(folder: string): string[] | undefined {
  try {
    return fs.readdirSync(folder);
  } catch {
    return undefined;
  }
}
