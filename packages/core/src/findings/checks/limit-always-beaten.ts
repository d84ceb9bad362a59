import { at, type Check, DATA } from '../check.ts';

const SPANS = [
  ['perFill', 'fill'],
  ['perDay', 'day'],
  ['perWeek', 'week'],
  ['perMonth', 'month'],
] as const;

export const limitAlwaysBeaten: Check = {
  code: 'F218',
  severity: 'warning',
  title: 'A limit that another limit always beats',
  reason: 'The longer span allows less than the shorter one, so the shorter one’s figure never holds.',
  mend: 'Raise the longer span’s limit, or lower the shorter one’s to it.',
  source: DATA,
  *find(ctx) {
    for (const a of ctx.fleet.allowances.values()) {
      const set = SPANS.flatMap(([field, span]) => {
        const most = a[field];
        return most === null ? [] : [{ field, span, most }];
      });
      for (const [i, longer] of set.entries()) {
        const shorter = set[i - 1];
        if (!shorter || longer.most >= shorter.most) continue;
        yield {
          on: [at('allowances', a.id, shorter.field)],
          text: `${ctx.called('allowances', a.id)} allows ${ctx.volume(shorter.most)} a ${shorter.span}, but ${ctx.volume(longer.most)} a ${longer.span}.`,
        };
      }
    }
  },
};
