// Whether the theme's own ground can be the drawing's: only if everything on it can still be read.

/** The least contrast of text to its ground (WCAG 2.2, success criterion 1.4.3). */
const least = 4.5;

/** The three parts of a colour as style sheets give it, from 0 to 1; undefined for what is not solid. */
export function partsOf(colour: string): [number, number, number] | undefined {
  const hex = /^#([0-9a-f]{6}|[0-9a-f]{3})$/i.exec(colour.trim())?.[1];
  if (hex) {
    const digits = hex.length === 3 ? [...hex].map(digit => digit + digit) : [hex.slice(0, 2), hex.slice(2, 4), hex.slice(4)];
    return digits.map(pair => parseInt(pair, 16) / 255) as [number, number, number];
  }
  const numbers = /^rgb\(\s*(\d+)[\s,]+(\d+)[\s,]+(\d+)\s*\)$/.exec(colour.trim())?.slice(1);
  return numbers && (numbers.map(number => Number(number) / 255) as [number, number, number]);
}

/** The contrast of two colours, from 1 to 21 (WCAG 2.2, "contrast ratio"). */
export function contrast(one: string, other: string): number | undefined {
  const [first, second] = [luminance(one), luminance(other)];
  return first === undefined || second === undefined ? undefined : (Math.max(first, second) + 0.05) / (Math.min(first, second) + 0.05);
}

/** Whether all of these colours can be read on a ground. */
export function fits(ground: string, colours: readonly string[]): boolean {
  return colours.every(colour => (contrast(ground, colour) ?? 0) >= least);
}

function luminance(colour: string): number | undefined {
  const parts = partsOf(colour)?.map(part => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4));
  return parts && 0.2126 * parts[0]! + 0.7152 * parts[1]! + 0.0722 * parts[2]!;
}
