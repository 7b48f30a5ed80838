// The Testing view: each `expect` of the open plans is a test. The server works them out with everything else; nothing is run.
import * as vscode from 'vscode';
import { nameOf, testsOf, type Promised, type PromiseTest } from './promises';
import type { Session } from './session';

export class Expectations implements vscode.Disposable {
  private readonly controller = vscode.tests.createTestController('patchlang.expectations', 'PatchLang expectations');
  private readonly profile = this.controller.createRunProfile('Work out', vscode.TestRunProfileKind.Run, (request, cancelled) => this.run(request, cancelled), true);
  private readonly changes: vscode.Disposable;
  /** The tests by id, as they were last worked out. */
  private tests = new Map<string, PromiseTest>();
  /** What was last said of each test. */
  private readonly told = new Map<string, string>();
  private refreshes: Promise<void> = Promise.resolve();
  private isWaiting = false;

  constructor(private readonly session: Session) {
    this.controller.refreshHandler = () => this.refresh();
    this.changes = session.onDidChangePlans(() => void this.refresh());
  }

  /** The command: works all of them out, with the view in sight. */
  async show(): Promise<void> {
    await this.refresh();
    if (this.tests.size === 0) {
      void vscode.window.showInformationMessage('The open plans expect nothing yet. Add `expect` statements, and a plan tests itself.');
      return;
    }
    await vscode.commands.executeCommand('workbench.view.testing.focus');
    await this.run(new vscode.TestRunRequest(undefined, undefined, this.profile));
  }

  dispose(): void {
    this.changes.dispose();
    this.controller.dispose();
  }

  /** Brings the tests up to date; of many changes at once the last counts. */
  private refresh(): Promise<void> {
    if (this.isWaiting) return this.refreshes;
    this.isWaiting = true;
    return (this.refreshes = this.refreshes.then(async () => {
      this.isWaiting = false;
      await this.take();
    }));
  }

  private async take(): Promise<void> {
    this.lay(testsOf((await this.session.ask<Promised[]>('patchlang/expectations', {})) ?? []));
    const all = [...this.items()];
    if (all.every(([item, test]) => this.told.get(item.id) === test.outcome + test.says)) return;
    // A run that nobody asked for keeps to the gutter: no panel opens, nothing is saved, no result is kept. It has all of them, since
    // the view counts those of the last run.
    const request = new vscode.TestRunRequest(undefined, undefined, this.profile, true, true);
    this.tell(this.controller.createTestRun(request, undefined, false), all);
  }

  private async run(request: vscode.TestRunRequest, cancelled?: vscode.CancellationToken): Promise<void> {
    await this.refresh();
    if (cancelled?.isCancellationRequested) return;
    const isWanted = (item: vscode.TestItem): boolean => covers(request.include, item) && !(request.exclude?.length && covers(request.exclude, item));
    this.tell(this.controller.createTestRun(request), [...this.items()].filter(([item]) => isWanted(item)));
  }

  /** Puts the tests into the tree, and keeps the items that are there already. */
  private lay(files: Map<string, PromiseTest[]>): void {
    this.tests = new Map([...files.values()].flat().map(test => [test.id, test]));
    for (const id of this.told.keys()) if (!this.tests.has(id)) this.told.delete(id);
    const fileItems = [...files].map(([uri, tests]) => {
      const file = this.controller.items.get(uri) ?? this.controller.createTestItem(uri, nameOf(uri), vscode.Uri.parse(uri));
      file.children.replace(tests.map((test, index) => this.itemOf(file, test, index)));
      return file;
    });
    this.controller.items.replace(fileItems);
  }

  private itemOf(file: vscode.TestItem, test: PromiseTest, index: number): vscode.TestItem {
    const item = file.children.get(test.id) ?? this.controller.createTestItem(test.id, test.label, file.uri);
    item.range = rangeOf(test.promised);
    item.description = test.detail;
    item.sortText = String(index).padStart(6, '0');
    return item;
  }

  private *items(): Generator<[vscode.TestItem, PromiseTest]> {
    for (const [, file] of this.controller.items)
      for (const [id, item] of file.children) {
        const test = this.tests.get(id);
        if (test) yield [item, test];
      }
  }

  private tell(run: vscode.TestRun, tests: readonly [vscode.TestItem, PromiseTest][]): void {
    for (const [item, test] of tests) {
      this.told.set(item.id, test.outcome + test.says);
      run.started(item);
      // Without a place: beside its line the editor would repeat what stands above it already.
      if (test.says !== '') run.appendOutput(`${test.label}: ${test.says}\r\n`, undefined, item);
      if (test.outcome === 'passed') run.passed(item);
      else if (test.outcome === 'skipped') run.skipped(item);
      else {
        const message = new vscode.TestMessage(test.says);
        if (item.uri) message.location = new vscode.Location(item.uri, rangeOf(test.promised));
        run.failed(item, message);
      }
    }
    run.end();
  }
}

/** Whether items have an item among them, or what it stands under; no list at all has every item. */
function covers(items: readonly vscode.TestItem[] | undefined, item: vscode.TestItem): boolean {
  return items === undefined || items.some(each => each.id === item.id || each.children.get(item.id) !== undefined);
}

function rangeOf({ range: { start, end } }: Promised): vscode.Range {
  return new vscode.Range(start.line, start.character, end.line, end.character);
}
