/** A value of a record in kitchen words: in the reader's units, the household's days, people's names. */
import { inWords, type Naming } from '../../db/words';
import { kinds, type Register } from '../../domain/declared';
import { dayWords, momentWords } from '../../ui/days';
import { bodyMass, capital, foodMass, type Units } from '../../ui/words';

/** For whom something is put into words. */
export interface Speech {
  readonly units: Units;
  readonly today: string;
  readonly zone: string;
}

const BODY = ['weighing mass_g', 'dog adult_weight_g'];

function mass(entity: string, register: string, mass_g: number, { units }: Speech): string {
  const isBody = BODY.includes(`${entity} ${register}`);
  return isBody ? bodyMass(mass_g, units) : foodMass(mass_g, units);
}

/** "16.4 kg", "Mon 17:44", "duck frames". */
export function valueWords(
  entity: string,
  register: string,
  value: unknown,
  naming: Naming,
  speech: Speech,
): string {
  if (value === null || value === undefined) return 'nothing';
  const declared: Register | undefined = kinds[entity]?.registers[register];
  if (!declared) return typeof value === 'string' ? value : JSON.stringify(value);
  if (typeof value === 'number' && declared.unit === 'g')
    return mass(entity, register, value, speech);
  if (typeof value === 'string') {
    if (declared.type === 'instant') return momentWords(value, speech.today, speech.zone);
    if (declared.type === 'date') return dayWords(value, speech.today);
    if (register === 'food') return naming(value) ?? value;
  }
  return inWords(declared, value, naming);
}

/** What people call a register: "weight", "offered". */
export function registerWords(entity: string, register: string): string {
  return capital(kinds[entity]?.registers[register]?.label ?? register.replaceAll('_', ' '));
}
