// How a plan stands, in the few words of a status bar.

/** What the server says of a plan: the answer to `patchlang/status`. */
export interface PlanStatus {
  /** The document of the plan's root. */
  readonly plan: string;
  readonly title?: string;
  readonly errors: number;
  readonly warnings: number;
  readonly notes: number;
  readonly hints: number;
  /** In hertz; of every unit that names none. */
  readonly rate: number;
  /** The clocks that the plan calls timekeepers. */
  readonly timekeepers: readonly string[];
  /** The clocks that others follow in the end, those with most followers first. */
  readonly leaders: readonly string[];
}

export interface ShownStatus {
  readonly text: string;
  readonly tooltip: string;
  /** What a screen reader says. */
  readonly label: string;
}

export function showStatus(status: PlanStatus, name: string): ShownStatus {
  const { errors, warnings, notes, hints } = status;
  const findings = listOf([counted(errors, 'error'), counted(warnings, 'warning'), counted(notes, 'note'), counted(hints, 'hint')]);
  const rate = rateOf(status.rate);
  const keepers = status.timekeepers.length > 0 ? status.timekeepers : status.leaders.slice(0, 1);
  const icons = [errors > 0 && `$(error) ${errors}`, warnings > 0 && `$(warning) ${warnings}`].filter(Boolean);
  const text = [...(icons.length > 0 ? icons : ['$(pass) no faults']), ...(keepers.length > 0 ? [`$(watch) ${shortened(keepers.join(', '))}`] : []), rate].join('  ');
  const lines = [
    `${status.title ?? name}: ${findings}`,
    status.timekeepers.length > 0
      ? `Timekeeper: ${status.timekeepers.join(', ')}`
      : status.leaders.length > 0
        ? `No timekeeper is named; ${status.leaders.join(', ')} ${status.leaders.length === 1 ? 'gives' : 'give'} the time`
        : 'No timekeeper is named',
    `Rate: ${rate}`,
  ];
  return {
    text,
    tooltip: [...lines, 'Click to see the problems.'].join('\n'),
    label: `Plan ${lines.join('. ')}. Show the problems.`,
  };
}

function counted(count: number, what: string): string {
  return count === 0 ? '' : `${count} ${what}${count === 1 ? '' : 's'}`;
}

function listOf(parts: readonly string[]): string {
  return parts.filter(part => part !== '').join(', ') || 'nothing found';
}

/** A rate as the trade writes it: 48 kHz, 44.1 kHz. */
function rateOf(hertz: number): string {
  return `${Number((hertz / 1000).toFixed(4))} kHz`;
}

function shortened(text: string): string {
  const most = 24;
  return text.length <= most ? text : `${text.slice(0, most - 1)}…`;
}
