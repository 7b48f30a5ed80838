// The extension: starts the language server and keeps it.
import * as vscode from 'vscode';
import { LanguageClient, State, type LanguageClientOptions } from 'vscode-languageclient/node';
import { CheckTasks } from './checkTask';
import { taskType } from './checkArguments';
import { commands } from './commands';
import { machineOf } from './machine';
import { findServer } from './serverLookup';
import { StatusBar } from './statusBar';

let session: Session | undefined;

export async function activate(context: vscode.ExtensionContext): Promise<void> {
  const current = (session = new Session(context));
  context.subscriptions.push(
    vscode.commands.registerCommand(commands.restart, () => current.restart()),
    vscode.commands.registerCommand(commands.showLog, () => current.log.show()),
    vscode.tasks.registerTaskProvider(taskType, new CheckTasks(() => machineOf(context))),
    vscode.workspace.onDidChangeConfiguration(change => change.affectsConfiguration('patchlang.server.path') && current.restart()),
    // With trust the setting of the folder begins to count.
    vscode.workspace.onDidGrantWorkspaceTrust(() => current.restart())
  );
  await current.start();
}

export async function deactivate(): Promise<void> {
  await session?.end();
}

/** The server and what the user sees of it. One server answers for all folders. */
class Session {
  readonly log = vscode.window.createOutputChannel('PatchLang', { log: true });
  private readonly status = new StatusBar();
  private client: LanguageClient | undefined;
  // Restarts come one after the other, however fast they are asked for.
  private turn: Promise<void> = Promise.resolve();

  constructor(private readonly context: vscode.ExtensionContext) {}

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
      this.log.dispose();
    });
  }

  private inTurn(step: () => Promise<void>): Promise<void> {
    return (this.turn = this.turn.then(step, step));
  }

  private async launch(): Promise<void> {
    const server = findServer(machineOf(this.context));
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
    };
    const client = (this.client = new LanguageClient('patchlang', 'PatchLang', run, options));
    client.onDidChangeState(({ newState }) => {
      if (client !== this.client) return;
      if (newState === State.Starting) this.status.say('starting', '');
      else if (newState === State.Running) this.status.say('running', `${server.command}, ${client.initializeResult?.serverInfo?.version ?? 'version unknown'}`);
      else this.status.say('stopped', '');
    });
    try {
      await client.start();
    } catch (error) {
      const reason = error instanceof Error ? error.message : String(error);
      this.log.error(`${server.command} did not start: ${reason}`);
      this.status.say('stopped', reason);
      void this.offerSettings(`${server.command} did not start: ${reason}`);
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
      this.log.warn(`the server was not ended in order: ${error instanceof Error ? error.message : String(error)}`);
    }
  }

  private async offerSettings(reason: string): Promise<void> {
    const settings = 'Open the Setting';
    const answer = await vscode.window.showErrorMessage(reason, settings, 'Try Again');
    if (answer === settings) await vscode.commands.executeCommand('workbench.action.openSettings', 'patchlang.server.path');
    else if (answer !== undefined) await this.restart();
  }
}
