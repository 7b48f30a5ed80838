// What came of the promises of plans: the answers to `patchlang/expectations`, as tests.

/** One `expect` of a plan, as the server tells it. */
export interface Promised {
  /** As the plan writes it, on one line. */
  readonly name: string;
  readonly uri: string;
  readonly range: { readonly start: Place; readonly end: Place };
  readonly state: 'held' | 'broken' | 'undecided';
  /** The document of the plan's root. */
  readonly plan: string;
  /** The figure that came out, with its unit. */
  readonly figure?: string;
  /** Why it does not hold, or is undecided. */
  readonly message?: string;
  readonly code?: string;
  /** Why the plan allows it to be broken. */
  readonly allowedBecause?: string;
  readonly acts?: readonly string[];
}

export interface Place {
  readonly line: number;
  readonly character: number;
}

/** A promise as a test. */
export interface PromiseTest {
  /** Stays the same while the promise is only moved. */
  readonly id: string;
  readonly label: string;
  readonly detail: string;
  readonly outcome: 'passed' | 'failed' | 'skipped';
  /** What there is to say of it; empty where nothing is. */
  readonly says: string;
  readonly promised: Promised;
}

/** Promises as tests, by the document they stand in, in the order of its lines. */
export function testsOf(all: readonly Promised[]): Map<string, PromiseTest[]> {
  const files = new Map<string, PromiseTest[]>();
  const plansOf = new Map<string, Set<string>>();
  const ids = new Map<string, number>();
  for (const { uri, plan } of all) plansOf.set(uri, (plansOf.get(uri) ?? new Set()).add(plan));
  for (const promised of [...all].sort((a, b) => a.range.start.line - b.range.start.line || a.range.start.character - b.range.start.character)) {
    const base = `${promised.plan}\n${promised.name}`;
    const times = ids.get(base) ?? 0;
    ids.set(base, times + 1);
    const file = files.get(promised.uri) ?? [];
    files.set(promised.uri, file);
    // A file of several plans is another test in each.
    const isShared = plansOf.get(promised.uri)!.size > 1;
    file.push({
      id: times === 0 ? base : `${base}\n${times}`,
      label: promised.name.replace(/^expect\s+/, ''),
      detail: [promised.figure, promised.allowedBecause !== undefined && 'allowed', isShared && nameOf(promised.plan)].filter(Boolean).join(', '),
      outcome: outcomeOf(promised),
      says: sayingOf(promised),
      promised,
    });
  }
  return files;
}

/** The last part of a document's address, as a person reads it. */
export function nameOf(uri: string): string {
  return decodeURIComponent(uri.slice(uri.lastIndexOf('/') + 1));
}

// What is undecided, or meant to be broken, is neither good nor bad: it is passed over.
function outcomeOf({ state, allowedBecause }: Promised): PromiseTest['outcome'] {
  if (state === 'held') return 'passed';
  return state === 'broken' && allowedBecause === undefined ? 'failed' : 'skipped';
}

function sayingOf({ state, message, figure, code, allowedBecause, acts }: Promised): string {
  const said = [message ?? (state === 'held' ? '' : state)];
  if (figure !== undefined && !message?.includes(figure)) said.push(state === 'held' ? figure : `(${figure})`);
  if (state !== 'held' && acts && acts.length > 0) said.push(`(in ${acts.join(', ')})`);
  const text = said.filter(part => part !== '').join(' ') + (allowedBecause === undefined ? '' : `; allowed: ${allowedBecause}`);
  return code === undefined ? text : `${code}: ${text}`;
}
