/** The three roles, in words. */
import type { Role } from '../../api/accounts';

export const roles: readonly {
  readonly value: Role;
  readonly label: string;
  readonly detail: string;
}[] = [
  { value: 'owner', label: 'Owner', detail: 'Everything, and who belongs to the household' },
  { value: 'partner', label: 'Partner', detail: 'Plans, buys, grinds, feeds and writes down' },
  { value: 'sitter', label: 'Sitter', detail: 'Feeds, weighs and writes down what they see' },
];

export function roleDetail(role: Role): string {
  return roles.find((each) => each.value === role)?.detail ?? '';
}

/** "an owner", "a partner". */
export function roleWord(role: Role): string {
  return role === 'owner' ? 'an owner' : `a ${role}`;
}
