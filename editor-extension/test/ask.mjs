// Asks the program that PATCHLANG_PROGRAM names, as the editor would.
import { spawn } from 'node:child_process';
import fs from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import { pathToFileURL } from 'node:url';

const require = createRequire(import.meta.url);
const { createMessageConnection, StreamMessageReader, StreamMessageWriter } = require('vscode-jsonrpc/node');
const named = process.env.PATCHLANG_PROGRAM;

export const program = named && (named.endsWith('.dll') ? ['dotnet', named] : [named]);
export const skip = program ? false : 'PATCHLANG_PROGRAM is not set';
export const samples = path.join(import.meta.dirname, '../../samples');

/** Starts a server, and ends it behind the work. */
export async function withServer(work) {
  const server = spawn(program[0], [...program.slice(1), 'serve']);
  const connection = createMessageConnection(new StreamMessageReader(server.stdout), new StreamMessageWriter(server.stdin));
  const versions = new Map();
  const tell = (method, params) => connection.sendNotification(method, params);
  try {
    connection.listen();
    await connection.sendRequest('initialize', { processId: process.pid, rootUri: null, capabilities: {}, initializationOptions: { changes: true } });
    await tell('initialized', {});
    return await work({
      connection,
      ask: (method, params) => connection.sendRequest(method, params),
      /** Opens a document, from the disk or with a text. */
      open: async (file, text = fs.readFileSync(file, 'utf8')) => {
        const uri = pathToFileURL(file).href;
        versions.set(uri, 1);
        await tell('textDocument/didOpen', { textDocument: { uri, languageId: 'rig', version: 1, text } });
        return uri;
      },
      /** Puts another text in the place of a document's. */
      edit: async (uri, text) => {
        versions.set(uri, versions.get(uri) + 1);
        await tell('textDocument/didChange', { textDocument: { uri, version: versions.get(uri) }, contentChanges: [{ text }] });
        return versions.get(uri);
      },
    });
  } finally {
    connection.dispose();
    server.kill();
  }
}
