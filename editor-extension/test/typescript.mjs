// Lets tests import what is written in TypeScript. Modules that only an editor has are given by the test.
import { build } from 'esbuild';

/**
 * @param file a file in src
 * @param given modules by name, such as a `vscode` of the test's own
 */
export async function load(file, given = {}) {
  const key = `modules-${Object.keys((globalThis.givenModules ??= {})).length}`;
  globalThis.givenModules[key] = given;
  const { outputFiles } = await build({
    entryPoints: [new URL(`../src/${file}`, import.meta.url).pathname],
    bundle: true,
    write: false,
    platform: 'node',
    format: 'esm',
    logLevel: 'error',
    define: { loadedAt: '0' },
    plugins: [
      {
        name: 'given',
        setup(builder) {
          builder.onResolve({ filter: /.*/ }, ({ path }) => (path in given ? { path, namespace: 'given' } : undefined));
          builder.onLoad({ filter: /.*/, namespace: 'given' }, ({ path }) => ({ contents: `module.exports = globalThis.givenModules[${JSON.stringify(key)}][${JSON.stringify(path)}]` }));
        },
      },
    ],
  });
  return import(`data:text/javascript;base64,${Buffer.from(outputFiles[0].text).toString('base64')}`);
}
