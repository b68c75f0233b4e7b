/** Sessions, households, members and invitations. */

import { del, expectKeys, get, patch, post } from './client.ts';
import type { components } from './schema.gen.ts';

type Schemas = components['schemas'];

export type Role = Schemas['RoleEnum'];
export type Units = Schemas['UnitsEnum'];
export type Session = Schemas['Session'];
export type SessionHousehold = Schemas['SessionHousehold'];
export type Household = Schemas['HouseholdDetail'];
export type Member = Schemas['HouseholdMember'];
/** One just made: its link can be shown this once. */
export type Invitation = Schemas['InvitationMade'];
export type InvitationListed = Schemas['InvitationListed'];
export type InvitationInfo = Schemas['InvitationPreview'];
export type SignUp = Schemas['SignUpRequest'];

const household = (id: string): string => `/api/households/${id}`;

async function session(answer: Promise<unknown>): Promise<Session> {
  return expectKeys<Session>(await answer, 'csrf_token', 'user', 'households');
}

export const getSession = (): Promise<Session> => session(get('/api/session'));
export const signUp = (person: SignUp): Promise<Session> => session(post('/api/sign-up', person));
export const signIn = (email: string, password: string): Promise<Session> =>
  session(post('/api/sign-in', { email, password }));
export const signOut = (): Promise<unknown> => post('/api/sign-out');
export const changePassword = (current: string, next: string): Promise<unknown> =>
  post('/api/password', { current, new: next });

/** Begins another household, with the person signed in as its owner. */
export const createHousehold = (name: string, time_zone: string): Promise<Session> =>
  session(post('/api/households', { name, time_zone }));

export async function getHousehold(id: string): Promise<Household> {
  return expectKeys<Household>(await get(household(id)), 'id', 'members');
}
export const editHousehold = (
  id: string,
  changes: { name?: string; time_zone?: string },
): Promise<Household> => patch(household(id), changes);

export const editMember = (
  id: string,
  member: string,
  changes: { role?: Role; units?: Units },
): Promise<unknown> => patch(`${household(id)}/members/${member}`, changes);
export const removeMember = (id: string, member: string): Promise<unknown> =>
  del(`${household(id)}/members/${member}`);

export const getInvitations = (id: string): Promise<InvitationListed[]> =>
  get(`${household(id)}/invitations`);
export const invite = (id: string, role: Role): Promise<Invitation> =>
  post(`${household(id)}/invitations`, { role });
export const withdrawInvitation = (id: string, invitation: string): Promise<unknown> =>
  del(`${household(id)}/invitations/${invitation}`);

export const readInvitation = (token: string): Promise<InvitationInfo> =>
  get(`/api/invitations/${token}`);
export const acceptInvitation = (token: string): Promise<Session> =>
  session(post(`/api/invitations/${token}/accept`));
