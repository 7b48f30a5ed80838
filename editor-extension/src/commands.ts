// The commands by name, as package.json declares them.

export const commands = {
  restart: 'patchlang.restartServer',
  showLog: 'patchlang.showLog',
} as const;
