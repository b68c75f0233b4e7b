/** The one place that talks to the server. */

import { uuid7 } from '../domain/ids.ts';

export type Method = 'GET' | 'POST' | 'PATCH' | 'DELETE';

/** The server said no, in words of its own. */
export class ApiError extends Error {
  override name = 'ApiError';
  constructor(
    readonly status: number,
    readonly code: string,
    message: string,
    readonly fields: Record<string, string[]> = {},
    /** Seconds to wait before the next try, if the server asked for it. */
    readonly retryAfter_s: number | null = null,
    readonly headers: Headers = new Headers(),
  ) {
    super(message);
  }
}

/** Nothing that is surely an answer of the server came back: no signal, a login page of the network. */
export class NoAnswer extends Error {
  override name = 'NoAnswer';
  constructor(
    cause?: unknown,
    readonly retryAfter_s: number | null = null,
    /** False only where the request cannot have left the phone. */
    readonly hasLeft: boolean = true,
  ) {
    super('No answer from the server. What you enter is kept on this phone.', { cause });
  }
}

export interface Reply {
  status: number;
  headers: Headers;
  body: unknown;
}

export interface SendOptions {
  body?: unknown;
  headers?: Record<string, string>;
  /** Gives up after so long, in milliseconds. */
  timeout_ms?: number;
}

const TIMEOUT_MS = 30_000;
let csrfToken = '';

/** The token goes with every request that changes something; a session brings it. */
export function useCsrfToken(token: string): void {
  csrfToken = token;
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null;
}

function retryAfter(headers: Headers): number | null {
  const text = headers.get('Retry-After');
  if (text === null) return null;
  const seconds = Number(text);
  if (Number.isFinite(seconds)) return Math.max(0, seconds);
  const date = Date.parse(text);
  return Number.isNaN(date) ? null : Math.max(0, (date - Date.now()) / 1000);
}

function toError(status: number, headers: Headers, body: unknown): ApiError {
  const known = isObject(body) ? body : {};
  const code = typeof known['code'] === 'string' ? known['code'] : `http_${String(status)}`;
  const message =
    typeof known['message'] === 'string'
      ? known['message']
      : `The server answered with status ${String(status)}. Try again later.`;
  const fields = isObject(known['fields']) ? (known['fields'] as Record<string, string[]>) : {};
  return new ApiError(status, code, message, fields, retryAfter(headers), headers);
}

async function readJson(response: Response): Promise<unknown> {
  if (response.status === 204 || response.status === 304) return null;
  if (!response.headers.get('Content-Type')?.includes('json')) {
    // A portal's page or an offline page, whatever its status: no answer of ours.
    throw new NoAnswer(undefined, retryAfter(response.headers));
  }
  try {
    return await response.json();
  } catch (error) {
    throw new NoAnswer(error);
  }
}

/** Sends one request. Throws ApiError for a refusal, NoAnswer if nobody answered. */
export async function send(
  method: Method,
  path: string,
  { body, headers = {}, timeout_ms = TIMEOUT_MS }: SendOptions = {},
): Promise<Reply> {
  // The browser says so only where there is no network at all.
  const isCutOff = (globalThis.navigator as Partial<Navigator> | undefined)?.onLine === false;
  const abort = new AbortController();
  const timer = setTimeout(() => {
    abort.abort();
  }, timeout_ms);
  try {
    const response = await fetch(path, {
      method,
      headers: {
        Accept: 'application/json',
        ...(body === undefined ? {} : { 'Content-Type': 'application/json' }),
        ...(method === 'GET' ? {} : { 'X-CSRFToken': csrfToken }),
        ...headers,
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      credentials: 'same-origin',
      cache: 'no-store',
      redirect: 'error',
      signal: abort.signal,
    });
    const answer = await readJson(response);
    if (!response.ok && response.status !== 304) {
      throw toError(response.status, response.headers, answer);
    }
    return { status: response.status, headers: response.headers, body: answer };
  } catch (error) {
    if (error instanceof ApiError || error instanceof NoAnswer) throw error;
    throw new NoAnswer(error, null, !isCutOff);
  } finally {
    clearTimeout(timer);
  }
}

export function newRequestId(): string {
  return uuid7();
}

/**
 * The reply, if it has what every one of its kind has. The network's own pages may come as JSON
 * too, and what is kept on the phone must not be replaced by them.
 */
export function expectKeys<T>(body: unknown, ...keys: (keyof T & string)[]): T {
  if (!isObject(body) || keys.some((key) => !(key in body))) throw new NoAnswer();
  return body as T;
}

async function json<T>(method: Method, path: string, body?: unknown): Promise<T> {
  const reply = await send(method, path, body === undefined ? {} : { body });
  return reply.body as T;
}

export const get = <T>(path: string): Promise<T> => json('GET', path);
export const post = <T>(path: string, body: unknown = {}): Promise<T> => json('POST', path, body);
export const patch = <T>(path: string, body: unknown): Promise<T> => json('PATCH', path, body);
export const del = <T>(path: string): Promise<T> => json('DELETE', path);
