import { formatDate, formatMinute } from '@fillwright/core/units';
import { instantsOf, zoneKnown } from '../show/site-time.ts';

/** The bench's address: these cards at a hose, the PIN right, at a moment by the site's clock where there is one. */
export function benchSearch(props: {
  site: string;
  hose: string;
  zone: string | undefined;
  /** Days since 1970-01-01, and the minute of that day. */
  moment: { readonly day: number; readonly minute: number } | undefined;
  cards: readonly string[];
}): Record<string, string> {
  const { site, hose, moment } = props;
  const zone = zoneKnown(props.zone ?? 'UTC');
  const at = moment && zone ? instantsOf(formatDate(moment.day), formatMinute(moment.minute), zone)?.[0] : undefined;
  const [card, card2] = props.cards;
  return {
    site,
    hose,
    pin: 'right',
    ...(at === undefined ? {} : { at: String(at) }),
    ...(card === undefined ? {} : { card }),
    ...(card2 === undefined ? {} : { card2 }),
  };
}
