import type { ServerResponse } from 'node:http';
import type { DeskEvent } from '@fillwright/wire';

const SIGN_OF_LIFE_MS = 25_000;

/** The desks that listen, by fleet. */
export interface Desks {
  tell(fleet: string, event: DeskEvent): void;
  /** Sends events on this response until it closes. */
  add(fleet: string, response: ServerResponse): void;
  /** Ends every line: the desks dial anew and ask everything again. */
  again(): void;
  stop(): void;
}

export function openDesks(): Desks {
  const listening = new Map<string, Set<ServerResponse>>();
  const each = (text: string, of: Iterable<ServerResponse>) => {
    for (const response of of) response.write(text);
  };
  const endAll = () => {
    for (const responses of listening.values()) for (const response of responses) response.end();
  };
  // A comment now and then keeps proxies from closing a quiet line.
  const beat = setInterval(() => {
    for (const responses of listening.values()) each(': here\n\n', responses);
  }, SIGN_OF_LIFE_MS).unref();
  return {
    tell: (fleet, event) => each(`data: ${JSON.stringify(event)}\n\n`, listening.get(fleet) ?? []),
    add(fleet, response) {
      const responses = listening.get(fleet) ?? new Set();
      listening.set(fleet, responses.add(response));
      response.on('close', () => responses.delete(response));
      response.writeHead(200, {
        'content-type': 'text/event-stream',
        'cache-control': 'no-store',
        'x-accel-buffering': 'no',
      });
      response.write(': here\n\n');
    },
    again: endAll,
    stop() {
      clearInterval(beat);
      endAll();
    },
  };
}
