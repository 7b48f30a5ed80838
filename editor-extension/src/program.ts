// The program `patchlang`, as commands use it: with a notice that can cancel it, and with what goes wrong said in words.
import * as vscode from 'vscode';
import { run, sayError, type Outcome } from './run';
import type { Lookup } from './serverLookup';

/** The exit code that says: a plan could not be read, or the question makes no sense. */
const failed = 2;

export class Program {
  constructor(
    private readonly lookup: () => Lookup,
    private readonly log: vscode.LogOutputChannel
  ) {}

  /**
   * Runs it. What fails is shown to the user.
   * @param doing what is going on, for the notice
   * @returns what it said, with the exit code 0 or 1; undefined if it failed or was cancelled
   */
  async run(doing: string, given: readonly string[], folder: string, input?: string): Promise<Outcome | undefined> {
    const outcome = await this.attempt(doing, given, folder, input);
    if (outcome && outcome.code < failed && outcome.code >= 0) return outcome;
    if (outcome) this.complain(outcome.error);
    return undefined;
  }

  /** As `run`, for what an older program may not know: a failure is only logged. */
  async tryRun(doing: string, given: readonly string[], folder: string): Promise<Outcome | undefined> {
    const outcome = await this.attempt(doing, given, folder);
    if (outcome?.code === 0 || outcome?.code === 1) return outcome;
    if (outcome) this.log.info(`${given.join(' ')}: ${outcome.error.trim()}`);
    return undefined;
  }

  private async attempt(doing: string, given: readonly string[], folder: string, input?: string): Promise<Outcome | undefined> {
    const program = this.lookup();
    if (!program.found) {
      this.complain(program.reason);
      return undefined;
    }
    try {
      return await vscode.window.withProgress({ location: vscode.ProgressLocation.Notification, title: doing, cancellable: true }, (_, cancelled) => {
        const aborting = new AbortController();
        cancelled.onCancellationRequested(() => aborting.abort());
        this.log.info(`running ${[program.command, ...program.arguments, ...given].join(' ')}`);
        return run(program.command, [...program.arguments, ...given], { folder, signal: aborting.signal, ...(input !== undefined && { input }) });
      });
    } catch (error) {
      this.complain(sayError(error));
      return undefined;
    }
  }

  private complain(reason: string): void {
    const said = reason.trim().replace(/^patchlang: /gm, '') || 'The program failed, and did not say why.';
    this.log.error(said);
    void vscode.window.showErrorMessage(said);
  }
}
