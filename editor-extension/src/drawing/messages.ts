// What the extension and the view beside the editor say to each other.
import type { Kind } from './requests';

export interface ViewState {
  /** The document whose plan is drawn. */
  readonly document?: string;
  /** That plan's root. */
  readonly plan?: string;
  readonly kind: Kind;
  readonly act?: string;
  /** The feed whose way is drawn. */
  readonly of?: string;
}

export type ToView =
  | {
      readonly type: 'picture';
      readonly state: ViewState;
      readonly title: string;
      readonly acts: readonly { readonly name: string; readonly title: string }[];
      readonly svg: string;
      readonly style: string;
      /** The things that lead to a line. */
      readonly links: readonly string[];
      readonly ids: readonly string[];
      readonly words: string;
    }
  | { readonly type: 'lit'; readonly ids: readonly string[]; readonly words: string }
  /** Why there is no picture, or why the old one stays. */
  | { readonly type: 'none'; readonly state: ViewState; readonly words: string }
  | { readonly type: 'held'; readonly words: string }
  /** Asks for pixels of a picture. */
  | { readonly type: 'pixels'; readonly svg: string };

export type FromView =
  | { readonly type: 'ready'; readonly state: ViewState }
  | { readonly type: 'choose'; readonly kind: Kind; readonly act?: string }
  /** Lead to the line of a thing. */
  | { readonly type: 'go'; readonly id: string }
  /** Lead to where the trouble is that keeps the old picture. */
  | { readonly type: 'goToTrouble' }
  /** Draw the plan as it stands, errors or not. */
  | { readonly type: 'draw' }
  | { readonly type: 'save'; readonly format: 'svg' | 'png' }
  | { readonly type: 'pixels'; readonly png?: ArrayBuffer; readonly problem?: string };
