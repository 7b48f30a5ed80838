// The commands by name, as package.json declares them.

export const commands = {
  restart: 'patchlang.restartServer',
  showDrawing: 'patchlang.showDrawing',
  showLog: 'patchlang.showLog',
  trace: 'patchlang.traceFromHere',
  sheets: 'patchlang.makeSheets',
  compare: 'patchlang.compareWithRevision',
  // The server has one of its own that it runs itself: patchlang.runExpectations.
  expectations: 'patchlang.workOutExpectations',
  explain: 'patchlang.explainFinding',
  newPlan: 'patchlang.startNewPlan',
  firstSteps: 'patchlang.showFirstSteps',
} as const;
