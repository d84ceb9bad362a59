import type { Counterexample } from '@fillwright/core/reach';

/** A counterexample as the bench's address takes it. */
export function benchSearch({ request, site, hose }: Counterexample): Record<string, string> {
  const [card, card2] = request.credentials;
  return {
    ...{ site, hose, pin: 'right', at: String(request.at) },
    ...(card === undefined ? {} : { card }),
    ...(card2 === undefined ? {} : { card2 }),
  };
}
