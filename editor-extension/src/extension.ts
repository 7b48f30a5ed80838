// The extension: starts the language server, and gives the editor what is built on it.
import * as vscode from 'vscode';
import { taskType } from './checkArguments';
import { CheckTasks } from './checkTask';
import { commands } from './commands';
import { Comparison } from './compare';
import { DrawingPanel } from './drawing/panel';
import { Expectations } from './expectations';
import { explainFinding } from './explain';
import { machineOf } from './machine';
import { NewPlan } from './newPlan';
import { Plans } from './plans';
import { PlanStatusBar } from './planStatusBar';
import { Program } from './program';
import { Reports } from './report';
import { findServer } from './serverLookup';
import { Session } from './session';
import { Sheets } from './sheets';
import { Traces } from './trace';
import { trusted } from './trust';

/** When the editor began to run this file; the bundle's first line says so. */
declare const loadedAt: number;
const loadTime = performance.now() - loadedAt;

let session: Session | undefined;

export function activate(context: vscode.ExtensionContext): void {
  const began = performance.now();
  const lookup = () => findServer(machineOf(context));
  const current = (session = new Session(lookup));
  const program = new Program(lookup, current.log);
  const plans = new Plans(current);
  const reports = new Reports();
  const traces = new Traces(plans, program);
  const sheets = new Sheets(plans, program, reports);
  const comparison = new Comparison(plans, program, reports);
  const newPlan = new NewPlan(program);
  const expectations = new Expectations(current);
  const drawing = new DrawingPanel(context.extensionUri, current);
  context.subscriptions.push(
    plans,
    reports,
    traces,
    expectations,
    drawing,
    new PlanStatusBar(current),
    vscode.commands.registerCommand(commands.restart, () => current.restart()),
    vscode.commands.registerCommand(commands.showDrawing, () => drawing.show()),
    vscode.commands.registerCommand(commands.showLog, () => current.log.show()),
    vscode.commands.registerCommand(commands.trace, () => traces.fromHere()),
    vscode.commands.registerCommand(commands.sheets, (uri?: vscode.Uri) => trusted(() => sheets.make(uri))),
    vscode.commands.registerCommand(commands.compare, (uri?: vscode.Uri) => trusted(() => comparison.withRevision(uri))),
    vscode.commands.registerCommand(commands.expectations, () => expectations.show()),
    vscode.commands.registerCommand(commands.explain, () => explainFinding()),
    vscode.commands.registerCommand(commands.newPlan, () => trusted(() => newPlan.start())),
    vscode.commands.registerCommand(commands.firstSteps, () => vscode.commands.executeCommand('workbench.action.openWalkthrough', `${context.extension.id}#firstSteps`, false)),
    vscode.window.registerWebviewPanelSerializer(DrawingPanel.viewType, drawing),
    vscode.tasks.registerTaskProvider(taskType, new CheckTasks(lookup)),
    vscode.workspace.onDidChangeConfiguration(change => change.affectsConfiguration('patchlang.server.path') && current.restart()),
    vscode.workspace.onDidChangeConfiguration(change => change.affectsConfiguration('patchlang.rules') && current.tellWishes()),
    // With trust the setting of the folder begins to count.
    vscode.workspace.onDidGrantWorkspaceTrust(() => current.restart())
  );
  // The server starts beside the editor: nobody waits for it here, and the log says how long it took.
  void current.start();
  // Between the two the editor does what is its own.
  const took = performance.now() - began;
  current.log.info(`activated in ${(loadTime + took).toFixed(0)} ms, ${loadTime.toFixed(0)} ms of it to load`);
}

export async function deactivate(): Promise<void> {
  await session?.end();
}
