// Runs a program to its end. No shell reads the arguments: blanks and signs in paths mean nothing.
import { execFile } from 'node:child_process';

/** So much of an answer is taken in; the largest sheets of a festival day are about 1 MB. */
const mostBytes = 64 * 1024 * 1024;

export interface Outcome {
  readonly code: number;
  readonly output: string;
  readonly error: string;
}

/** Why a program gave no outcome, in words for the user. */
export class RunError extends Error {}

export interface RunOptions {
  readonly folder: string;
  /** What it reads from its standard input. */
  readonly input?: string;
  readonly environment?: NodeJS.ProcessEnv;
  readonly signal?: AbortSignal;
}

/**
 * @returns what came of it, whatever the exit code; undefined if it was cancelled
 * @throws RunError if it could not be started, was ended from outside, or said too much
 */
export function run(command: string, given: readonly string[], { folder, input, environment, signal }: RunOptions): Promise<Outcome | undefined> {
  return new Promise((resolve, reject) => {
    if (signal?.aborted) return resolve(undefined);
    const options = { cwd: folder, encoding: 'utf8', maxBuffer: mostBytes, windowsHide: true, env: environment ?? process.env, ...(signal && { signal }) } as const;
    const child = execFile(command, given, options, (failure, output, error) => {
      if (signal?.aborted) resolve(undefined);
      else if (!failure) resolve({ code: 0, output, error });
      else if (typeof failure.code === 'number') resolve({ code: failure.code, output, error });
      else reject(new RunError(why(command, folder, failure)));
    });
    // A program that ends without reading all closes the pipe; its exit code says what is wrong.
    child.stdin?.on('error', () => {});
    child.stdin?.end(input ?? '');
  });
}

function why(command: string, folder: string, failure: Error & { code?: number | string | null; signal?: string | null }): string {
  switch (failure.code) {
    case 'ENOENT':
      return `${command} could not be started: there is no such program, or the folder ${folder} is gone`;
    case 'EACCES':
      return `${command} could not be started: it may not be run`;
    case 'ERR_CHILD_PROCESS_STDIO_MAXBUFFER':
      return `${command} said more than ${mostBytes / 1024 / 1024} MB, and was ended`;
    default:
      return failure.signal ? `${command} was ended by ${failure.signal}` : `${command} could not be run: ${failure.message}`;
  }
}

/** What went wrong, in a line. */
export function sayError(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
