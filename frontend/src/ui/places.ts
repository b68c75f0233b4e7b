// The five places, in the order of the tab bar.

export type Place = 'today' | 'counter' | 'plan' | 'stores' | 'review';

export const places: readonly { key: Place; title: string; href: string }[] = [
  { key: 'today', title: 'Today', href: '/today' },
  { key: 'counter', title: 'Counter', href: '/counter' },
  { key: 'plan', title: 'Plan', href: '/plan' },
  { key: 'stores', title: 'Stores', href: '/stores' },
  { key: 'review', title: 'Review', href: '/review' },
];
