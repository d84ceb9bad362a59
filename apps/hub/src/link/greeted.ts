/** Which sites have been told what they are owed since they last came. */
export interface Greeted {
  /** Greets a site that was not yet. Where that fails the site counts as never greeted, so that its next word tries again. */
  readonly once: (fleet: string, site: string, greet: () => Promise<void>) => Promise<void>;
  readonly forget: (fleet: string, site: string) => void;
  readonly forgetAll: () => void;
  readonly all: () => readonly (readonly [fleet: string, site: string])[];
}

export function noneGreeted(): Greeted {
  const sites = new Map<string, readonly [string, string]>();
  const key = (fleet: string, site: string) => JSON.stringify([fleet, site]);
  return {
    async once(fleet, site, greet) {
      const mark = [fleet, site] as const;
      if (sites.has(key(...mark))) return;
      sites.set(key(...mark), mark);
      try {
        await greet();
      } catch (cause) {
        // A site that came again meanwhile has a mark of its own.
        if (sites.get(key(...mark)) === mark) sites.delete(key(...mark));
        throw cause;
      }
    },
    forget: (fleet, site) => void sites.delete(key(fleet, site)),
    forgetAll: () => sites.clear(),
    all: () => [...sites.values()],
  };
}
