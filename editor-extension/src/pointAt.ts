// What stands under the cursor, as `patchlang trace` wants it: a point such as desk.ch[5], or the name of a feed.

const step = String.raw`[\p{L}_][\p{L}\p{M}\p{N}_]*(?:[ \t]*\[[^\][]*\])?`;
const paths = new RegExp(String.raw`${step}(?:\.${step})*`, 'gu');
// Words that are never names: each opens a statement, or a piece of one.
const reserved = /^(?:rig|rate|use|act|format|gear|card|unit|network|loom|cable|timekeeper|follow|reserve|feed|bundle|insert|expect|allow|sum|either|any|during)$/;
const declaration = new RegExp(String.raw`^\s*(?:feed|bundle)\s+(${step})`, 'u');

/**
 * @param line the text of the line
 * @param column the cursor's place in it
 * @returns the point or feed there, else the feed that the line declares; undefined if there is neither
 */
export function pointAt(line: string, column: number): string | undefined {
  const plain = blanked(line);
  const declared = declaration.exec(plain);
  for (const { 0: found, index } of plain.matchAll(paths))
    if (index <= column && column <= index + found.length && !reserved.test(found)) return tight(found);
  return declared?.[1] && tight(declared[1]);
}

/** Without blanks before a bracket. */
function tight(path: string): string {
  return path.replace(/[ \t]+\[/g, '[');
}

/** The line with blanks in place of what stands in quotes and in remarks. */
function blanked(line: string): string {
  return line.replace(/"(?:[^"\\]|\\.)*"?|\/\/.*$/g, found => ' '.repeat(found.length));
}
