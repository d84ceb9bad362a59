/** Topics by fleet and site. A site publishes only below its own `up/`, and hears its own `down/` and the fleet's `all/`. */
const ROOT = 'fillwright';

export const topics = {
  up: (fleet: string, site: string, kind: UpKind) => `${ROOT}/${fleet}/${site}/up/${kind}`,
  down: (fleet: string, site: string, kind: DownKind) => `${ROOT}/${fleet}/${site}/down/${kind}`,
  all: (fleet: string, kind: AllKind) => `${ROOT}/${fleet}/all/${kind}`,
  everyUp: () => `${ROOT}/+/+/up/+`,
  everyDown: (fleet: string, site: string) => `${ROOT}/${fleet}/${site}/down/+`,
  everyAll: (fleet: string) => `${ROOT}/${fleet}/all/+`,
};

/** entries: journal entries to be stored; state: what the site runs and sees (retained); fetch: a bundle is asked for; got: an urgent message was taken; lost: entries asked for again are no longer kept. */
export type UpKind = 'entries' | 'state' | 'fetch' | 'got' | 'lost';
/** ack: stored after COMMIT; wanted: notice of the wanted revision (retained); bundle: the bundle asked for; stop: an urgent stop; pins: sealed PINs; again: entries that the office lacks; keys: how the office's signing key was given on (retained). */
export type DownKind = 'ack' | 'wanted' | 'bundle' | 'stop' | 'pins' | 'again' | 'keys';
/** usage: what other sites have drawn; time: the hub's clock, a sign of life. */
export type AllKind = 'usage' | 'time';

export function parseUpTopic(topic: string): { fleet: string; site: string; kind: UpKind } | undefined {
  const m = /^fillwright\/([^/]+)\/([^/]+)\/up\/(entries|state|fetch|got|lost)$/.exec(topic);
  return m ? { fleet: m[1] as string, site: m[2] as string, kind: m[3] as UpKind } : undefined;
}

export function parseDownTopic(topic: string): { kind: DownKind | AllKind } | undefined {
  const m = /^fillwright\/[^/]+\/(?:[^/]+\/down|all)\/(ack|wanted|bundle|stop|pins|again|keys|usage|time)$/.exec(topic);
  return m ? { kind: m[1] as DownKind | AllKind } : undefined;
}
