// A picture that stays while its plan is edited still leads to the right lines: its places move with the text.

interface Point {
  readonly line: number;
  readonly character: number;
}

interface Stretch {
  readonly start: Point;
  readonly end: Point;
}

const isBefore = (one: Point, other: Point) => one.line < other.line || (one.line === other.line && one.character < other.character);

/** Where a place is after a stretch before it, or in it, was replaced by a text. */
export function shifted(place: Point, replaced: Stretch, text: string): Point {
  if (isBefore(place, replaced.end)) return isBefore(replaced.start, place) ? replaced.start : place;
  const lines = text.split(/\r\n|\r|\n/);
  const last = lines[lines.length - 1]!.length;
  const line = place.line + lines.length - 1 - (replaced.end.line - replaced.start.line);
  if (place.line > replaced.end.line) return { line, character: place.character };
  return { line, character: place.character - replaced.end.character + last + (lines.length === 1 ? replaced.start.character : 0) };
}
