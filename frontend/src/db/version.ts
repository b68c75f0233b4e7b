import { version } from '../../package.json' with { type: 'json' };

/** Which build wrote an op: for finding faults, nothing decides by it. */
export const APP_VERSION = `phone ${version}`;
