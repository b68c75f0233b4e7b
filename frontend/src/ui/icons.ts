// The drawings behind Icon. Paths only, so that one component can render them all.

export interface Shape {
  readonly d: string;
  /** What the closed shape is filled with; nothing when left out. */
  readonly fill?: 'current' | 'act';
  readonly stroke?: 'current' | 'paper' | 'act' | 'on-act' | 'alert' | 'rule-strong';
  readonly width?: number;
  readonly dash?: string;
}

export interface Drawing {
  readonly box: string;
  readonly shapes: readonly Shape[];
}

const box24 = '0 0 24 24';
const box28 = '0 0 28 28';
const box30 = '0 0 30 20';
const box36 = '0 0 36 36';

function lines(...paths: readonly string[]): Drawing {
  return { box: box24, shapes: paths.map((d) => ({ d })) };
}

/** Outline of a phone standing at x, with the given width, in the box of the sync mark. */
function phone(x: number, width: number): string {
  const flat = width - 3;
  return (
    `M${x + 1.5} 4.5h${flat}a1.5 1.5 0 0 1 1.5 1.5v11a1.5 1.5 0 0 1-1.5 1.5h-${flat}` +
    'a1.5 1.5 0 0 1-1.5-1.5v-11a1.5 1.5 0 0 1 1.5-1.5Z'
  );
}

const two = { own: phone(5, 7), others: [phone(16, 7)] };
const three = { own: phone(2.5, 5.5), others: [phone(11.25, 5.5), phone(20, 5.5)] };

function savedMark(phones: typeof two): Drawing {
  const others = phones.others.map((d): Shape => ({ d, dash: '2 2.4' }));
  const reach = phones === two ? 'M3 23.5h11' : 'M1.5 23.5h8';
  return {
    box: box28,
    shapes: [{ d: phones.own, fill: 'current' }, ...others, { d: reach, width: 2 }],
  };
}

function waitingMark(phones: typeof two): Drawing {
  const others = phones.others.map((d): Shape => ({ d }));
  const arrow =
    phones === two ? 'M3 23.5h13M13.5 20.8l3 2.7-3 2.7' : 'M1.5 23.5h11M10 20.8l3 2.7-3 2.7';
  return {
    box: box28,
    shapes: [{ d: phones.own, fill: 'current' }, ...others, { d: arrow, width: 2 }],
  };
}

function syncedMark(phones: typeof two): Drawing {
  const all = [phones.own, ...phones.others].map((d): Shape => ({ d, fill: 'current' }));
  return {
    box: box28,
    shapes: [...all, { d: phones === two ? 'M3 23.5h22' : 'M1.5 23.5h25', width: 2 }],
  };
}

export const drawings = {
  back: lines('M15 5 8 12l7 7'),
  forward: lines('m9 5 7 7-7 7'),
  close: lines('M6 6l12 12M18 6 6 18'),
  tick: lines('m5 12.5 4.5 4.5L19 7'),
  plus: lines('M12 5v14M5 12h14'),
  minus: lines('M5 12h14'),
  delete: lines('M8 5.5h13v13H8L2.5 12ZM11.5 9.5l5 5M16.5 9.5l-5 5'),
  clock: lines('M3.5 12a8.5 8.5 0 1 0 17 0a8.5 8.5 0 1 0-17 0Z', 'M12 7v5.4l3.4 2'),
  falling: lines('M3 6l6 5 4-2 7 8M20 11.5V17h-5.5'),
  rising: lines('M3 18l6-5 4 2 7-8M20 12.5V7h-5.5'),
  accounts: lines('M3 6h8v12H3ZM13 6h8v12h-8ZM5.5 10h3M5.5 13.5h3M15.5 12h3'),
  bowl: lines('M3 12h18M4.5 12c.6 4.5 3.2 7 7.5 7s6.9-2.5 7.5-7'),
  'box-empty': {
    box: box36,
    shapes: [{ d: 'M7 4h22a3 3 0 0 1 3 3v22a3 3 0 0 1-3 3H7a3 3 0 0 1-3-3V7a3 3 0 0 1 3-3Z' }],
  },
  'box-ticked': {
    box: box36,
    shapes: [
      {
        d: 'M7 4h22a3 3 0 0 1 3 3v22a3 3 0 0 1-3 3H7a3 3 0 0 1-3-3V7a3 3 0 0 1 3-3Z',
        fill: 'act',
        stroke: 'act',
      },
      { d: 'm10.5 18.5 5.5 5.5 10-12', stroke: 'on-act', width: 3 },
    ],
  },
  met: {
    box: box30,
    shapes: [
      { d: 'M14.5 4H12v12h2.5M23.5 4H26v12h-2.5' },
      { d: 'M16.4 10a2.6 2.6 0 1 0 5.2 0a2.6 2.6 0 1 0-5.2 0Z', fill: 'current' },
    ],
  },
  short: {
    box: box30,
    shapes: [
      { d: 'M18.5 4H16v12h2.5M25.5 4H28v12h-2.5' },
      { d: 'M4.8 10a2.7 2.7 0 1 0 5.4 0a2.7 2.7 0 1 0-5.4 0Z', fill: 'current' },
    ],
  },
  over: {
    box: box30,
    shapes: [
      { d: 'M5.5 4H3v12h2.5M12.5 4H15v12h-2.5' },
      { d: 'M21.3 10a2.7 2.7 0 1 0 5.4 0a2.7 2.7 0 1 0-5.4 0Z', fill: 'current' },
    ],
  },
  unknown: {
    box: box30,
    shapes: [
      { d: 'M13.5 4H11v12h2.5M25.5 4H28v12h-2.5' },
      { d: 'M17.2 8.2a2.3 2.3 0 1 1 3.3 2.1c-.7.4-1 .8-1 1.5M19.5 14.6v.1', width: 1.7 },
    ],
  },
  'sync-saved': savedMark(two),
  'sync-saved-three': savedMark(three),
  'sync-waiting': waitingMark(two),
  'sync-waiting-three': waitingMark(three),
  'sync-synced': syncedMark(two),
  'sync-synced-three': syncedMark(three),
  'sync-needs': {
    box: box28,
    shapes: [
      { d: 'M14 2.5 25.5 14 14 25.5 2.5 14Z', fill: 'current' },
      { d: 'M14 8.6v6.4M14 18.9v.1', stroke: 'paper', width: 2.6 },
    ],
  },
  today: lines('M3 18h18M6.5 18a5.5 5.5 0 0 1 11 0M12 5v3.5M4.6 8.8l2.2 2.2M19.4 8.8 17.2 11'),
  counter: lines('M3 5.5h18M5.5 5.5c.6 3.5 3 5 6.5 5s5.9-1.5 6.5-5M12 10.5V13M7 13h10l2 7H5Z'),
  plan: lines('M8 3.5v17M3.5 7.5H5M3.5 12H5M3.5 16.5H5M11 7.5h9.5M11 12h9.5M11 16.5h5.5'),
  stores: lines('M4 3.5v17M20 3.5v17M4 11.5h16M4 19.5h16M8 11.5V7h4v4.5M14 19.5v-5h3v5'),
  review: lines(
    'M12 6.5C9.5 4.8 6.5 4.5 3.5 5v13.5c3-.5 6-.2 8.5 1.5 2.5-1.7 5.5-2 8.5-1.5V5c-3-.5-6-.2-8.5 1.5ZM12 6.5V20',
  ),
} as const satisfies Record<string, Drawing>;

export type IconName = keyof typeof drawings;
