/**
 * Finding a food by what people call it: its name, its other names, a slip of one letter. The
 * twin of the server's search, proved on fixtures/vectors/search.json.
 */

/** How an entry was found, the best first. */
export const HOW = [
  'name',
  'synonym',
  'words',
  'begins',
  'synonym_begins',
  'group',
  'slip',
] as const;
export type How = (typeof HOW)[number];

/** Another name and a whole word of the name are worth the same: what is in store decides. */
function rankOf(how: How): number {
  return HOW.indexOf(how === 'words' ? 'synonym' : how);
}

const OFFAL = new Set(['heart', 'liver', 'kidney', 'organ', 'tripe']);

/** Everything a group of foods is called, for the search. */
export function groupWords(key: string, name: string): string {
  return OFFAL.has(key) ? `${name} offal` : name;
}

/** What can be found, and what puts it before others. */
export interface Entry {
  readonly key: string;
  readonly name: string;
  readonly also: readonly string[];
  readonly group: string;
  readonly is_own: boolean;
  readonly is_in_store: boolean;
}

export interface Found<E extends Entry> {
  readonly entry: E;
  readonly how: How;
}

const SHORT = 3;
/** In three letters any other word is one slip away. */
const LEAST_FOR_A_SLIP = 4;
const LETTERS: Readonly<Record<string, string>> = {
  ß: 'ss',
  æ: 'ae',
  œ: 'oe',
  ø: 'o',
  ł: 'l',
  đ: 'd',
};
const SMALL_WORDS = new Set(['a', 'an', 'and', 'of', 'the', 'with']);

/** A word without the ending of an English plural; the same word always ends up the same. */
function singular(word: string): string {
  if (word.length <= SHORT) return word;
  if (word.endsWith('ies')) return `${word.slice(0, -3)}y`;
  if (/(o|ch|sh|x|ss)es$/.test(word)) return word.slice(0, -2);
  return word.replace(/([^s])s$/, '$1');
}

/** The words of a text, lower case, without accents, longer words in the singular. */
export function wordsOf(text: string): string[] {
  const plain = text.toLowerCase().replace(/[ßæœøłđ]/g, (letter) => LETTERS[letter] ?? letter);
  const bare = plain.normalize('NFD').replace(/\p{M}/gu, '');
  return (bare.match(/[a-z0-9]+/g) ?? []).map(singular);
}

function wantedOf(typed: string): string[] {
  const words = wordsOf(typed);
  const large = words.filter((word) => !SMALL_WORDS.has(word));
  return large.length > 0 ? large : words;
}

interface Names<E extends Entry> {
  readonly entry: E;
  readonly name: readonly string[];
  readonly sorted: string;
  readonly also: readonly (readonly string[])[];
  readonly alsoSorted: readonly string[];
  /** The name with each other name: the words of one request may come from both. */
  readonly withAlso: readonly (readonly string[])[];
  readonly everything: readonly string[];
  readonly nameAndGroup: readonly string[];
}

/** What was typed, worked out once for all entries. */
interface Wanted {
  readonly words: readonly string[];
  readonly sorted: string;
  readonly together: string;
}

/** The words of all entries, made once: a slow phone splits them only when the foods change. */
export type Index<E extends Entry> = readonly Names<E>[];

const sorted = (words: readonly string[]): string => [...words].sort().join(' ');

export function indexOf<E extends Entry>(entries: readonly E[]): Index<E> {
  return entries.map((entry) => {
    const name = wantedOf(entry.name);
    const also = entry.also.map(wantedOf);
    const group = wordsOf(entry.group);
    return {
      entry,
      name,
      sorted: sorted(name),
      also,
      alsoSorted: also.map(sorted),
      withAlso: also.map((other) => [...name, ...other]),
      // A word that two of the names share has to be looked at once only.
      everything: [...new Set([...name, ...also.flat(), ...group])],
      nameAndGroup: [...name, ...group],
    };
  });
}

/** The entries that answer to what was typed, the best first. */
export function search<E extends Entry>(index: Index<E>, typed: string): Found<E>[] {
  const words = wantedOf(typed);
  const wanted = { words, sorted: sorted(words), together: words.join('') };
  let found = index.flatMap((names) => {
    const how = howOf(names, wanted);
    return how === null ? [] : [{ names, how }];
  });
  if (found.length === 0) {
    found = index
      .filter((names) => slips(names, words))
      .map((names) => ({ names, how: 'slip' as const }));
  }
  return found
    .map((each) => ({ ...each, order: orderOf(each.names, each.how, words) }))
    .sort((a, b) => compared(a.order, b.order))
    .map(({ names, how }) => ({ entry: names.entry, how }));
}

function howOf(names: Names<Entry>, wanted: Wanted): How | null {
  const { words } = wanted;
  if (words.length === 0) return 'group';
  if (wanted.sorted === names.sorted) return 'name';
  if (names.alsoSorted.includes(wanted.sorted)) return 'synonym';
  if (words.every((word) => names.name.includes(word))) return 'words';
  if (begin(words, names.name) || joined(wanted, names.name)) return 'begins';
  // Most foods fall out here: what no name begins with can only be written together.
  const isSomewhere = begin(words, names.everything);
  const isOther = names.also.some(
    (other, index) =>
      (isSomewhere && begin(words, names.withAlso[index] ?? [])) || joined(wanted, other),
  );
  if (isOther) return 'synonym_begins';
  return isSomewhere ? 'group' : null;
}

function begin(wanted: readonly string[], words: readonly string[]): boolean {
  return wanted.every((each) => words.some((word) => word.startsWith(each)));
}

/** "oxheart" for "ox heart", "egg shell" for "eggshell". */
function joined({ words: typed, together }: Wanted, words: readonly string[]): boolean {
  if (typed.length > 1) return words.some((word) => word.startsWith(together));
  // A single word that is no beginning of the first one cannot begin them all together.
  const [first] = words;
  return (
    together.length > SHORT &&
    first !== undefined &&
    together.startsWith(first) &&
    words.join('').startsWith(together)
  );
}

function slips(names: Names<Entry>, wanted: readonly string[]): boolean {
  return [names.nameAndGroup, ...names.withAlso].some((words) =>
    wanted.every((each) => words.some((word) => isNear(each, word))),
  );
}

function isNear(typed: string, word: string): boolean {
  if (word.startsWith(typed)) return true;
  if (typed.length < LEAST_FOR_A_SLIP) return false;
  const ends = [word.length, typed.length, typed.length + 1];
  return ends.some((end) => isOneSlip(typed, word.slice(0, end)));
}

/** One letter is missing, added, wrong, or two neighbours are swapped. */
export function isOneSlip(typed: string, word: string): boolean {
  if (typed === word) return true;
  if (Math.abs(typed.length - word.length) > 1) return false;
  let start = 0;
  while (start < Math.min(typed.length, word.length) && typed[start] === word[start]) start += 1;
  const [a, b] = [typed.slice(start), word.slice(start)];
  return (
    a.slice(1) === b ||
    a === b.slice(1) ||
    a.slice(1) === b.slice(1) ||
    (a.length > 1 && a[0] === b[1] && a[1] === b[0] && a.slice(2) === b.slice(2))
  );
}

type Order = readonly (number | string)[];

function orderOf({ entry, name }: Names<Entry>, how: How, wanted: readonly string[]): Order {
  const begins = wanted[0] !== undefined && (name[0] ?? '').startsWith(wanted[0]);
  return [
    rankOf(how),
    entry.is_in_store ? 0 : 1,
    entry.is_own ? 0 : 1,
    begins ? 0 : 1,
    wanted.length > 0 ? name.length : 0,
    name.join(' '),
    entry.key,
  ];
}

function compared(a: Order, b: Order): number {
  for (const [index, left] of a.entries()) {
    const right = b[index] ?? '';
    if (left !== right) return left < right ? -1 : 1;
  }
  return 0;
}
