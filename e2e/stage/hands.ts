import type { SiteView } from '@fillwright/site';
import type { Box } from './box.ts';
import { cardOf } from './fleet.ts';

type HoseView = SiteView['hoses'][number];

export const litresOf = (quantity: string | null): number => {
  const [number, unit] = (quantity ?? '').split(' ');
  return Number(number ?? 0) * (unit === 'gal' ? 3.785_411_784 : 1);
};

/** Somebody in the yard who reads the screens and does the next sensible thing, for themselves or to help others along. */
export async function nextDeed(box: Box, view: SiteView, driver: number, hose: string): Promise<void> {
  const ready = view.hoses.find((h) => h.lamp === 'ready');
  if (ready && !ready.nozzleOut) return box.act({ do: 'lift', hose: ready.id });
  if (ready) return box.act({ do: 'squeeze', hose: ready.id, share: 1 });
  const left = view.hoses.find((h) => h.nozzleOut && (h.lamp === 'free' || h.lamp === 'claimed'));
  if (left) return box.act({ do: 'hang', hose: left.id });
  for (const terminal of view.terminals) {
    if (terminal.screen === 'idle') return box.act({ do: 'card', terminal: terminal.id, number: cardOf(driver) });
    const chosen = [hose, ...terminal.hoses].find((h) => terminal.hoses.includes(h));
    if (terminal.screen === 'choose' && chosen) return box.act({ do: 'choose', terminal: terminal.id, hose: chosen });
  }
}

/** Waits until a hose flows and has given so many litres, working towards it; answers with all that flow. */
export function flowing(box: Box, driver: number, hose: string, litres: number): Promise<HoseView[]> {
  let last = '';
  let looked = 0;
  return box.until(`a hose has given ${litres} l and flows`, async (view) => {
    const flows = view.hoses.filter((h) => h.lamp === 'flowing');
    if (flows.some((h) => litresOf(h.quantity) >= litres)) return flows;
    if (flows.length > 0) return undefined;
    // One deed for what is seen, and again where it led to nothing: a card that is presented twice is two cards.
    const seen = JSON.stringify([view.terminals.map((t) => t.screen), view.hoses.map((h) => [h.state, h.nozzleOut])]);
    if (seen === last && ++looked % 20 !== 0) return undefined;
    last = seen;
    await nextDeed(box, view, driver, hose);
    return undefined;
  });
}

/** Waits until every hose is free, hanging up what its limit has stopped. */
export function quiet(box: Box): Promise<true> {
  return box.until('every hose is free', async (view) => {
    for (const h of view.hoses) if (h.nozzleOut && h.lamp !== 'flowing') await box.act({ do: 'hang', hose: h.id });
    return view.hoses.length > 0 && view.hoses.every((h) => h.state === 'idle' && !h.nozzleOut) && (true as const);
  });
}
