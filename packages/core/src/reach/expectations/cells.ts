import type { Table } from '../table.ts';

/** Sites and a product that every rule about holders treats alike. */
export interface Cell {
  readonly index: number;
  /** Any one of the sites, and the product, as holders' lists know them. */
  readonly site: number;
  readonly product: number;
}

/** The cells of a table's hoses. */
export class Cells {
  readonly all: readonly Cell[];
  private readonly known = new Map<number, Cell>();

  constructor(table: Table) {
    const alike = sitesAlike(table);
    const cells = new Map<string, Cell>();
    for (const hose of table.hoses) {
      const key = `${alike[hose.site]} ${hose.product}`;
      const cell = cells.get(key) ?? { index: cells.size, site: hose.site, product: hose.product };
      cells.set(key, cell);
      this.known.set(hose.site * 65_536 + hose.product, cell);
    }
    this.all = [...cells.values()];
  }

  /** Undefined where no hose in service gives that. */
  at(site: number, product: number): Cell | undefined {
    return this.known.get(site * 65_536 + product);
  }
}

/** For each site, by index, a number that is equal for sites that no holder's and no allowance's list of sites tells apart. */
function sitesAlike(table: Table): readonly number[] {
  const marks = new Set<Uint8Array>();
  for (const classes of [table.drivers, table.vehicles])
    for (const party of classes) {
      if (party.sites) marks.add(party.sites);
      for (const terms of party.list.terms) if (terms.sites) marks.add(terms.sites);
    }
  const known = new Map<string, number>();
  const keys: string[] = Array.from({ length: table.policy.sites.size }, () => '');
  for (const list of marks) for (let s = 0; s < keys.length; s++) keys[s] += list[s] === 1 ? '1' : '0';
  return keys.map((key) => {
    const n = known.get(key) ?? known.size;
    known.set(key, n);
    return n;
  });
}
