// Lets tests import what is written in TypeScript, as long as it needs no editor.
import { buildSync } from 'esbuild';

export function load(file) {
  const { outputFiles } = buildSync({ entryPoints: [new URL(`../src/${file}`, import.meta.url).pathname], bundle: true, write: false, platform: 'node', format: 'esm' });
  return import(`data:text/javascript;base64,${Buffer.from(outputFiles[0].text).toString('base64')}`);
}
