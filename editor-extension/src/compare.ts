// "Compare with a Git Revision": what a crew does differently since then, as a page, and as a drawing with what changed marked.
import * as vscode from 'vscode';
import type { Plans } from './plans';
import type { Program } from './program';
import type { Reports } from './report';
import { revisionsOf, type Revision } from './revisions';
import { sayError } from './run';

interface RevisionItem extends vscode.QuickPickItem {
  /** What git is asked for; undefined where the user types it. */
  readonly revision?: string;
}

const icons = { branch: 'git-branch', tag: 'tag', commit: 'git-commit' };

export class Comparison {
  constructor(
    private readonly plans: Plans,
    private readonly program: Program,
    private readonly reports: Reports
  ) {}

  async withRevision(given?: vscode.Uri): Promise<void> {
    const plan = await this.plans.saved(given);
    if (!plan) return;
    const revision = await this.askRevision(plan.folder);
    if (!revision) return;
    const doing = `Comparing ${plan.name} with ${revision}`;
    const asked = ['compare', plan.argument, '--git', revision, '--format'];
    const page = await this.program.run(doing, [...asked, 'html'], plan.folder);
    if (!page) return;
    const title = `What changed since ${revision}`;
    if (page.code === 1) {
      const drawing = await this.program.tryRun(doing, [...asked, 'drawing'], plan.folder);
      if (drawing?.output.startsWith('<!DOCTYPE html>')) this.reports.show('changesDrawn', `${title}, drawn`, drawing.output, plan.folder, false);
    }
    this.reports.show('changes', title, page.output, plan.folder);
  }

  private async askRevision(folder: string): Promise<string | undefined> {
    let revisions: Revision[];
    try {
      revisions = await revisionsOf(folder);
    } catch (error) {
      void vscode.window.showErrorMessage(sayError(error));
      return undefined;
    }
    if (revisions.length === 0) {
      void vscode.window.showInformationMessage('Nothing is committed here yet, so there is nothing to compare with.');
      return undefined;
    }
    const picked = await vscode.window.showQuickPick(itemsOf(revisions), { title: 'Compare with a Git Revision', placeHolder: 'Compare the plan as it is now with…', matchOnDescription: true, matchOnDetail: true });
    if (!picked) return undefined;
    if (picked.revision) return picked.revision;
    const typed = await vscode.window.showInputBox({ title: 'Compare with a Git Revision', prompt: 'A branch, a tag, a commit, or a way to one', placeHolder: 'HEAD~3', validateInput: checkRevision });
    return typed?.trim() || undefined;
  }
}

export function itemsOf(revisions: readonly Revision[]): RevisionItem[] {
  const item = ({ name, kind, subject, age }: Revision): RevisionItem => ({ label: `$(${icons[kind]}) ${name}`, description: age, detail: subject, revision: name });
  const isCommit = (revision: Revision) => revision.kind === 'commit';
  const heading = (label: string): RevisionItem => ({ label, kind: vscode.QuickPickItemKind.Separator });
  const names = revisions.filter(revision => !isCommit(revision)).map(item);
  const commits = revisions.filter(isCommit).map(item);
  return [
    { label: '$(history) HEAD', description: 'as it was last committed', revision: 'HEAD' },
    { label: '$(edit) Another revision…' },
    ...(names.length > 0 ? [heading('branches and tags'), ...names] : []),
    ...(commits.length > 0 ? [heading('commits that changed a plan here'), ...commits] : []),
  ];
}

/** Why a text names no revision, or undefined. Git itself takes one that begins with a dash for an option. */
export function checkRevision(typed: string): string | undefined {
  const text = typed.trim();
  if (text === '') return 'It is empty.';
  if (text.startsWith('-')) return 'A revision does not begin with a dash.';
  return /[\s\p{Cc}]/u.test(text) ? 'A revision has no blanks in it.' : undefined;
}
