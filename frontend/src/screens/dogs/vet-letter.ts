/** What to hand a vet: plain text of what was written down, with no judgement of our own. */
import type { Rec } from '../../db/store.svelte';
import type { Requirement } from '../../domain/energy';
import { hasWords, wantsWords } from '../../ui/beams';
import { ageWords, dayOf } from '../../ui/days';
import { bodyMass, counted, fixed, type Units } from '../../ui/words';
import type { CheckRow } from '../plan/checks';
import type { AteRow, Intake } from './balance';
import { dogWords } from './dog-form';
import type { SeenRow } from './seen';

export interface LetterInput {
  readonly dog: Rec<'dog'>;
  readonly today: string;
  readonly zone: string;
  readonly days: number;
  /** The last of those days, which is not today while today is still being eaten. */
  readonly until: string;
  readonly units: Units;
  readonly intake: Intake;
  readonly need: Requirement | null;
  /** By what the nutrients are judged, and how the dog's own figures differ from the table's. */
  readonly yardstick: readonly string[];
  readonly rows: readonly CheckRow[];
  readonly ate: readonly AteRow[];
  readonly weighings: readonly Rec<'weighing'>[];
  readonly seen: readonly SeenRow[];
}

function heading({ dog, today, days, until }: LetterInput): string[] {
  const { values } = dog;
  const who = dogWords(values, values.born ? ageWords(values.born.date, today) : null);
  return [
    `${values.name}${who ? `: ${who}` : ''}`,
    `Kept by the household; ${days} days up to ${until}. Nothing here is a diagnosis.`,
    ...(values.vet_notes ? [`Notes: ${values.vet_notes}`] : []),
  ];
}

function energyLines({ intake, need }: LetterInput): string[] {
  const eaten = intake.known_kcal_per_day;
  const lines = [
    `Energy eaten: ${eaten === null ? 'not known' : `${fixed(eaten, 0)} kcal a day`} over ${counted(intake.days, 'day')} written down`,
  ];
  if (need)
    lines.push(
      `Energy need as reckoned: ${fixed(need.energy_kcal, 0)} kcal a day (${fixed(need.low_kcal, 0)} to ${fixed(need.high_kcal, 0)})`,
    );
  if (intake.assumed_share > 0)
    lines.push(
      `What was left was not noted for ${fixed(intake.assumed_share * 100, 0)} % of the food; counted as eaten`,
    );
  if (intake.unknown_share > 0)
    lines.push(
      `Energy unknown for ${fixed(intake.unknown_share * 100, 0)} % of what was eaten; not counted`,
    );
  return lines;
}

function nutrientLine(row: CheckRow): string {
  const has = hasWords(row.reading, row.word, row.unit, row.decimals);
  return `${row.name}: ${has}; ${wantsWords(row.reading, row.unit, row.decimals)} (${row.word})`;
}

/** The letter as text. */
export function vetLetter(input: LetterInput): string {
  const weights = input.weighings
    .slice(-12)
    .map(
      ({ values }) => `${dayOf(values.at, input.zone)}  ${bodyMass(values.mass_g, input.units)}`,
    );
  const parts: [string, readonly string[]][] = [
    ['', heading(input)],
    ['Weight', weights],
    ['Energy', energyLines(input)],
    [
      'Eaten',
      input.ate.map(
        (row) => `${counted(row.meals, 'meal')}: ${row.title.toLowerCase()} (${row.detail})`,
      ),
    ],
    [
      'Nutrients eaten',
      input.rows.length > 0 ? [...input.yardstick, ...input.rows.map(nutrientLine)] : [],
    ],
    [
      'Seen',
      input.seen
        .filter((row) => row.opens.kind === 'observation')
        .slice(0, 30)
        .map(
          (row) =>
            `${dayOf(row.at, input.zone)} ${row.time}  ${row.title}${row.detail ? `. ${row.detail}` : ''}`,
        ),
    ],
  ];
  return parts
    .filter(([, lines]) => lines.length > 0)
    .map(([title, lines]) => (title === '' ? lines : [title, ...lines]).join('\n'))
    .join('\n\n');
}
