// What the status bar says of the server.

export type ServerState = 'starting' | 'running' | 'stopped' | 'missing';

/** What is shown of a state: the text with its icon, what a pointer over it tells, and whether it stands out as an error. */
export interface Shown {
  readonly text: string;
  readonly tooltip: string;
  readonly isError: boolean;
}

/**
 * @param state what the server does
 * @param detail its version while it runs; what is wrong when it is missing or has stopped
 */
export function show(state: ServerState, detail: string): Shown {
  const because = detail === '' ? '' : `\n${detail}`;
  switch (state) {
    case 'starting':
      return { text: '$(loading~spin) PatchLang', tooltip: 'The PatchLang server is starting.', isError: false };
    case 'running':
      return { text: '$(check) PatchLang', tooltip: `The PatchLang server is running.${because}\nClick to see its log.`, isError: false };
    case 'stopped':
      return { text: '$(error) PatchLang', tooltip: `The PatchLang server has stopped.${because}\nClick to start it again.`, isError: true };
    case 'missing':
      return { text: '$(error) PatchLang', tooltip: `There is no PatchLang server.${because}\nClick to look again.`, isError: true };
  }
}
