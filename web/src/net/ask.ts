// Questions by fetch. Changing ones carry the token that the page was given.

/** The server said no, in its own words. */
export class Refused extends Error {
  constructor(
    readonly status: number,
    readonly body: unknown,
  ) {
    super(sentence(body) ?? `status ${status}`);
  }
}

function sentence(body: unknown): string | null {
  if (typeof body === 'object' && body !== null) {
    for (const key of ['says', 'error', 'message']) {
      const text = (body as Record<string, unknown>)[key];
      if (typeof text === 'string') return text;
    }
  }
  return typeof body === 'string' && body !== '' ? body : null;
}

export function token(): string {
  return document.querySelector<HTMLMetaElement>('meta[name="hillsip-token"]')?.content ?? '';
}

async function answer(response: Response): Promise<unknown> {
  const json = response.headers.get('content-type')?.includes('json') === true;
  return json ? response.json() : response.text();
}

async function checked(response: Response): Promise<Response> {
  if (!response.ok) throw new Refused(response.status, await answer(response));
  return response;
}

/** `/api/` and what follows, with a query; values that are null are left out. */
export function address(path: string, query: Record<string, string | number | null> = {}): string {
  const pairs = Object.entries(query)
    .filter((pair): pair is [string, string | number] => pair[1] !== null)
    .map(([key, value]) => `${key}=${encodeURIComponent(value)}`);
  return `/api/${path}${pairs.length ? `?${pairs.join('&')}` : ''}`;
}

export async function get<T>(path: string, query: Record<string, string | number | null> = {}): Promise<T> {
  const response = await checked(await fetch(address(path, query)));
  return (await response.json()) as T;
}

export async function getBytes(path: string, query: Record<string, string | number | null> = {}): Promise<ArrayBuffer> {
  return (await checked(await fetch(address(path, query)))).arrayBuffer();
}

export async function getText(path: string, query: Record<string, string | number | null> = {}): Promise<string> {
  return (await checked(await fetch(address(path, query)))).text();
}

async function change<T>(method: string, path: string, body: unknown): Promise<T> {
  const response = await checked(
    await fetch(address(path), {
      method,
      headers: { 'content-type': 'application/json', 'x-hillsip-token': token() },
      body: JSON.stringify(body),
    }),
  );
  return (await answer(response)) as T;
}

export function post<T>(path: string, body: unknown): Promise<T> {
  return change<T>('POST', path, body);
}

/** Sends bytes that are not JSON: a photograph. */
export async function send<T>(path: string, query: Record<string, string>, bytes: Blob): Promise<T> {
  const headers = { 'content-type': bytes.type, 'x-hillsip-token': token() };
  const response = await checked(await fetch(address(path, query), { method: 'POST', headers, body: bytes }));
  return (await response.json()) as T;
}

export function remove<T>(path: string): Promise<T> {
  return change<T>('DELETE', path, {});
}
