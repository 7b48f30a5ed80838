// The revisions of a plan's folder that git knows, as a list to choose from.
import * as os from 'node:os';
import { run } from './run';

export interface Revision {
  /** What git calls it: a branch, a tag, a commit. */
  readonly name: string;
  readonly kind: 'branch' | 'tag' | 'commit';
  /** What it is about: the first line of its message. */
  readonly subject: string;
  /** When: "3 days ago". */
  readonly age: string;
}

const mostCommits = 60;
const mostNames = 40;
const separator = '%x1f';

/** Branches and tags, and the commits that changed a plan in the folder. Reads alone: git runs nothing of the repository's. */
export const refArguments = ['for-each-ref', '--sort=-creatordate', `--count=${mostNames}`, '--format=%(refname)%1f%(subject)%1f%(creatordate:relative)', 'refs/heads', 'refs/tags'];
export const logArguments = ['log', '--no-show-signature', `--max-count=${mostCommits}`, `--format=%h${separator}%s${separator}%cr`, '--', '*.rig'];

/**
 * @param folder the plan's folder
 * @returns tags and branches first, then commits, the newest first each
 * @throws Error if git is missing, or the folder is in no repository; its message says so
 */
export async function revisionsOf(folder: string, signal?: AbortSignal): Promise<Revision[]> {
  const [names, commits] = [await ask(refArguments, folder, signal), await ask(logArguments, folder, signal, true)];
  return [...readRefs(names), ...readLog(commits)];
}

export function readRefs(text: string): Revision[] {
  return rows(text).flatMap(([ref = '', subject = '', age = '']) => {
    const [, kind, name] = /^refs\/(heads|tags)\/(.+)$/.exec(ref) ?? [];
    return name ? [{ name, kind: kind === 'tags' ? 'tag' : 'branch', subject, age } as const] : [];
  });
}

export function readLog(text: string): Revision[] {
  return rows(text).flatMap(([name = '', subject = '', age = '']) => (name === '' ? [] : [{ name, kind: 'commit', subject, age } as const]));
}

function rows(text: string): string[][] {
  return text.split('\n').filter(line => line !== '').map(line => line.split('\x1f'));
}

async function ask(given: readonly string[], folder: string, signal?: AbortSignal, mayFail = false): Promise<string> {
  const environment = { ...process.env, GIT_OPTIONAL_LOCKS: '0', GIT_TERMINAL_PROMPT: '0', LC_ALL: 'C' };
  const program = os.platform() === 'win32' ? 'git.exe' : 'git';
  const outcome = await run(program, ['--no-pager', '-c', 'core.fsmonitor=false', ...given], { folder, environment, ...(signal && { signal }) });
  if (!outcome) return '';
  // A repository without a commit has a log that fails, and nothing to compare with.
  if (outcome.code !== 0 && !mayFail) throw new Error(/not a git repository/i.test(outcome.error) ? 'This plan is in no git repository, so there is nothing to compare it with.' : outcome.error.trim().split('\n')[0]);
  return outcome.code === 0 ? outcome.output : '';
}
