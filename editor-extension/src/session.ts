// The server and what the user sees of it. One server answers for all folders.
import * as vscode from 'vscode';
import { LanguageClient, State, type LanguageClientOptions } from 'vscode-languageclient/node';
import { commands } from './commands';
import { SharedProblems } from './problems';
import { sayError } from './run';
import type { Lookup } from './serverLookup';
import { StatusBar } from './statusBar';

/** The JSON-RPC error of a server that does not know a question: an older one. */
const methodNotFound = -32601;

export class Session {
  readonly log = vscode.window.createOutputChannel('PatchLang', { log: true });
  private readonly status = new StatusBar();
  private readonly changed = new vscode.EventEmitter<readonly string[] | undefined>();
  private readonly problems = new SharedProblems();
  private client: LanguageClient | undefined;
  // Restarts come one after the other, however fast they are asked for.
  private turn: Promise<void> = Promise.resolve();

  /** Tells the roots of the plans that are no longer as they were; undefined for all, when the server came or went. */
  readonly onDidChangePlans = this.changed.event;

  /** @param lookup where the server is, as the settings are now */
  constructor(private readonly lookup: () => Lookup) {}

  start(): Promise<void> {
    return this.inTurn(() => this.launch());
  }

  restart(): Promise<void> {
    return this.inTurn(async () => {
      await this.stop();
      await this.launch();
    });
  }

  end(): Promise<void> {
    return this.inTurn(async () => {
      await this.stop();
      this.status.dispose();
      this.problems.end();
      this.changed.dispose();
      this.log.dispose();
    });
  }

  /** Tells the server what the settings have now, without starting it anew. */
  async tellWishes(): Promise<void> {
    await this.turn;
    if (this.client?.state === State.Running) await this.client.sendNotification('workspace/didChangeConfiguration', { settings: { patchlang: wishes() } });
  }

  /** Asks the server; undefined if there is none, or it does not know the question. Waits for one that is starting. */
  async ask<T>(method: string, parameters: unknown, cancelled?: vscode.CancellationToken): Promise<T | undefined> {
    await this.turn;
    const client = this.client;
    if (client?.state !== State.Running) return undefined;
    try {
      // The client would send a token that is not there as one more argument.
      const answer = cancelled ? client.sendRequest<T | null>(method, parameters, cancelled) : client.sendRequest<T | null>(method, parameters);
      return (await answer) ?? undefined;
    } catch (error) {
      if (client !== this.client || cancelled?.isCancellationRequested) return undefined;
      if (!(error instanceof Error && 'code' in error && error.code === methodNotFound)) this.log.warn(`${method}: ${sayError(error)}`);
      return undefined;
    }
  }

  private inTurn(step: () => Promise<void>): Promise<void> {
    return (this.turn = this.turn.then(step, step));
  }

  private async launch(): Promise<void> {
    const server = this.lookup();
    if (!server.found) {
      this.log.error(server.reason);
      this.status.say('missing', server.reason);
      void this.offerSettings(server.reason);
      return;
    }
    const run = { command: server.command, args: [...server.arguments, 'serve'] };
    this.log.info(`starting ${[run.command, ...run.args].join(' ')} (found by ${server.origin})`);
    const options: LanguageClientOptions = {
      documentSelector: [{ language: 'rig', scheme: 'file' }, { language: 'rig', scheme: 'untitled' }, { language: 'rig', scheme: 'patchlang' }],
      outputChannel: this.log,
      diagnosticCollectionProvider: this.problems,
      initializationOptions: { changes: true, ...wishes() },
    };
    const client = (this.client = new LanguageClient('patchlang', 'PatchLang', run, options));
    client.onDidChangeState(({ newState }) => {
      if (client !== this.client) return;
      if (newState === State.Starting) this.status.say('starting', '');
      else if (newState === State.Running) this.status.say('running', `${server.command}, ${client.initializeResult?.serverInfo?.version ?? 'version unknown'}`);
      else this.status.say('stopped', '');
      if (newState !== State.Starting) this.changed.fire(undefined);
    });
    client.onNotification('patchlang/changed', ({ plans }: { plans: string[] }) => this.changed.fire(plans));
    const asked = performance.now();
    try {
      await client.start();
      this.log.info(`the server answered after ${(performance.now() - asked).toFixed(0)} ms`);
    } catch (error) {
      this.log.error(`${server.command} did not start: ${sayError(error)}`);
      this.status.say('stopped', sayError(error));
      void this.offerSettings(`${server.command} did not start: ${sayError(error)}`);
    }
  }

  private async stop(): Promise<void> {
    const client = this.client;
    this.client = undefined;
    if (!client) return;
    try {
      await client.dispose();
    } catch (error) {
      // One that never came up, or died, can't take its leave.
      this.log.warn(`the server was not ended in order: ${sayError(error)}`);
    }
    this.changed.fire(undefined);
  }

  private async offerSettings(reason: string): Promise<void> {
    const settings = 'Open the Setting';
    const answer = await vscode.window.showErrorMessage(reason, settings, 'Try Again');
    if (answer === settings) await vscode.commands.executeCommand('workbench.action.openSettings', 'patchlang.server.path');
    else if (answer !== undefined) await vscode.commands.executeCommand(commands.restart);
  }
}

/** Whether house rules may run: they are code, so the folder has to be trusted, and the user has to have turned them on. */
function wishes(): { rules: { trusted: boolean; enabled: boolean } } {
  return { rules: { trusted: vscode.workspace.isTrusted, enabled: vscode.workspace.getConfiguration('patchlang').get('rules') === 'on' } };
}
