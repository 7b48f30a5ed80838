// What is asked of the server for a drawing: requests of our own, as src/PatchLang.LanguageServer/Protocol/Drawings.cs has them.
import type { Location, Position, Range } from 'vscode-languageclient';

export const requests = {
  drawing: 'patchlang/drawing',
  wayAt: 'patchlang/wayAt',
  file: 'patchlang/drawingFile',
} as const;

/** The drawings that there are: the rig, one feed's way, and who gives the time to whom. */
export const kinds = ['rig', 'feed', 'clocks'] as const;
export type Kind = (typeof kinds)[number];

export interface DrawingParams {
  readonly textDocument: { readonly uri: string };
  readonly kind: Kind;
  /** Where the cursor is. */
  readonly position?: Position;
  /** The feed whose way is drawn where none is at the cursor. */
  readonly of?: string;
  readonly act?: string;
  /** As many errors of text and names as the picture has that is shown: with more there is no new one. */
  readonly mostErrors?: number;
}

export interface LitThings {
  readonly ids: readonly string[];
  readonly words: string;
  readonly version?: number;
  readonly of?: string;
}

export interface DrawnThing {
  readonly id: string;
  readonly uri: string;
  readonly range: Range;
}

export interface DrawingResult {
  readonly plan: string;
  readonly kind: Kind;
  readonly errors: number;
  readonly acts: readonly { readonly name: string; readonly title: string }[];
  readonly version?: number;
  readonly of?: string;
  readonly act?: string;
  readonly title?: string;
  readonly svg?: string;
  readonly style?: string;
  readonly things?: readonly DrawnThing[];
  readonly lit?: LitThings;
  readonly reason?: string;
  readonly reasonAt?: Location;
}

export interface DrawingFile {
  /** For light and dark grounds. */
  readonly svg: string;
  /** For light ground alone. */
  readonly forPaper: string;
}
