// Bundles the extension into one file, with the licences of what is in it beside it, and the view of the drawing into a script and a style sheet.
import fs from 'node:fs';
import { build } from 'esbuild';

const { metafile } = await build({
  absWorkingDir: import.meta.dirname,
  entryPoints: ['src/extension.ts'],
  outfile: 'dist/extension.js',
  bundle: true,
  minify: true,
  metafile: true,
  platform: 'node',
  format: 'cjs',
  target: 'node20',
  external: ['vscode'],
  legalComments: 'none',
  // Measures how long the editor takes to load it.
  banner: { js: '"use strict"; const loadedAt = performance.now();' },
  logLevel: 'warning',
});

await build({
  absWorkingDir: import.meta.dirname,
  entryPoints: ['src/view/view.ts', 'src/view/view.css'],
  outdir: 'dist',
  bundle: true,
  minify: true,
  platform: 'browser',
  format: 'iife',
  target: 'chrome120',
  logLevel: 'warning',
});

const packages = [...new Set(Object.keys(metafile.inputs).flatMap(input => /^node_modules\/((?:@[^/]+\/)?[^/]+)/.exec(input)?.[1] ?? []))].sort();
const notices = packages.map(name => {
  const folder = `${import.meta.dirname}/node_modules/${name}`;
  const { version, license } = JSON.parse(fs.readFileSync(`${folder}/package.json`, 'utf8'));
  const file = fs.readdirSync(folder).find(entry => /^licen[cs]e/i.test(entry));
  if (!file) throw new Error(`${name} has no licence text to pass on`);
  return `${name} ${version} (${license})\n\n${fs.readFileSync(`${folder}/${file}`, 'utf8').trim()}\n`;
});
fs.writeFileSync(`${import.meta.dirname}/dist/notices.txt`, `Others' work in extension.js, and its licences.\n\n${notices.join(`\n${'-'.repeat(80)}\n\n`)}`);
