import { createServer } from 'node:http';
import type { IncomingMessage, RequestListener, ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';

/** A server on localhost that lives as long as the body runs. */
export async function serving<T>(answer: RequestListener, body: (origin: string) => Promise<T>): Promise<T> {
  const server = createServer(answer);
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  try {
    return await body(`http://127.0.0.1:${(server.address() as AddressInfo).port}`);
  } finally {
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
  }
}

/** Answers like an ordinary file server: whole, or from a position on. */
export function sendFile(
  bytes: Uint8Array,
  request: IncomingMessage,
  response: ServerResponse,
  modified = 'Wed, 01 Apr 2026 08:00:00 GMT',
): void {
  const from = Number(/^bytes=(\d+)-$/.exec(request.headers.range ?? '')?.[1] ?? 0);
  response.writeHead(from > 0 ? 206 : 200, {
    'content-type': 'application/gzip',
    'content-length': bytes.length - from,
    'last-modified': modified,
    ...(from > 0 ? { 'content-range': `bytes ${from}-${bytes.length - 1}/${bytes.length}` } : {}),
  });
  response.end(bytes.subarray(from));
}
