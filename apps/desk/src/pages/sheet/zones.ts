let known: readonly string[] | undefined;

/** Every time zone that this browser knows, UTC first. */
export function zoneOptions(): readonly string[] {
  known ??= ['UTC', ...Intl.supportedValuesOf('timeZone').filter((z) => z !== 'UTC')];
  return known;
}

/** The zone if it can be chosen, else this computer's, else UTC. */
export function recordableZone(zone: string | undefined): string {
  const here = Intl.DateTimeFormat().resolvedOptions().timeZone;
  return [zone, here].find((z) => z !== undefined && zoneOptions().includes(z)) ?? 'UTC';
}
