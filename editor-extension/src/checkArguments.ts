// What a task of the type `patchlang` says, as package.json declares it.

export const taskType = 'patchlang';

export interface CheckDefinition {
  readonly type: string;
  readonly plans?: readonly string[];
  readonly arguments?: readonly string[];
}

/** The arguments of the program for a task. */
export function argumentsOf({ plans = [], arguments: more = [] }: CheckDefinition): string[] {
  return ['check', ...plans, ...more];
}
