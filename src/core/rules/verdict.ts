/** What a scheme row says of a reading. */
export type Verdict =
  | {
      readonly kind: 'within';
      readonly row: string;
      /** False when the row is from memory: at most "within the figure we hold, not checked". */
      readonly figureChecked: boolean;
      readonly probability: number;
    }
  | {
      readonly kind: 'over';
      readonly row: string;
      readonly how: OverHow;
      readonly probability: number;
      readonly figureChecked: boolean;
    }
  | {
      readonly kind: 'too-close';
      readonly row: string;
      /** Probability that the true value is inside the band. */
      readonly probability: number;
      readonly nearest: OverHow;
      readonly settledBy: string;
      readonly figureChecked: boolean;
    }
  | { readonly kind: 'no-verdict'; readonly row: string; readonly why: string };

export type OverHow = 'too-high' | 'too-low' | 'too-far-left' | 'too-far-right';
