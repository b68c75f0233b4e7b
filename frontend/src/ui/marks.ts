// What the sync mark says. The shape is the store's; only its words are made here.

export interface Mark {
  readonly state: 'saved' | 'waiting' | 'synced' | 'needs_you';
  readonly waiting: number;
  readonly refused: number;
  readonly conflicts: number;
  readonly online: boolean;
}

/** The mark's words in two lines, as they stand beside the drawing. */
export function markWords(mark: Mark): readonly [string, string] {
  switch (mark.state) {
    case 'saved':
      return ['Saved on', 'this phone'];
    case 'waiting':
      return [String(mark.waiting), 'waiting'];
    case 'synced':
      return ['Everything', 'synced'];
    case 'needs_you':
      return ['Needs', 'you'];
  }
}
