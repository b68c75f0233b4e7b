/** Sessions, households, members and invitations. */

import { del, get, patch, post } from './client.ts';

export type Role = 'owner' | 'partner' | 'sitter';
export type Units = 'metric' | 'us';

export interface SessionHousehold {
  id: string;
  name: string;
  role: Role;
  member_id: string;
  time_zone: string;
  units: Units;
}

export interface Session {
  csrf_token: string;
  user: { id: string; name: string; email: string } | null;
  households: SessionHousehold[];
  secure: boolean;
}

export interface Member {
  id: string;
  name: string;
  role: Role;
  removed: boolean;
  units: Units;
  user_id: string;
}

export interface Household {
  id: string;
  name: string;
  time_zone: string;
  role: Role;
  member_id: string;
  members: Member[];
}

export interface Invitation {
  id: string;
  url: string;
  qr_svg: string;
  role: Role;
  expires_at: string;
  token?: string;
}

export interface InvitationInfo {
  household_name: string;
  role: Role;
  invited_by: string;
  expires_at: string;
}

export interface SignUp {
  name: string;
  email: string;
  password: string;
  household_name?: string;
  time_zone: string;
  invitation?: string;
}

const household = (id: string): string => `/api/households/${id}`;

export const getSession = (): Promise<Session> => get('/api/session');
export const signUp = (person: SignUp): Promise<Session> => post('/api/sign-up', person);
export const signIn = (email: string, password: string): Promise<Session> =>
  post('/api/sign-in', { email, password });
export const signOut = (): Promise<unknown> => post('/api/sign-out');
export const changePassword = (current: string, next: string): Promise<unknown> =>
  post('/api/password', { current, new: next });

export const getHousehold = (id: string): Promise<Household> => get(household(id));
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

export const getInvitations = (id: string): Promise<Invitation[]> =>
  get(`${household(id)}/invitations`);
export const invite = (id: string, role: Role): Promise<Invitation> =>
  post(`${household(id)}/invitations`, { role });
export const withdrawInvitation = (id: string, invitation: string): Promise<unknown> =>
  del(`${household(id)}/invitations/${invitation}`);

export const readInvitation = (token: string): Promise<InvitationInfo> =>
  get(`/api/invitations/${token}`);
export const acceptInvitation = (token: string): Promise<Session> =>
  post(`/api/invitations/${token}/accept`);
