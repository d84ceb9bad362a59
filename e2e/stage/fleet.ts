import { type AnyRow, emptyFleet, type Fleet, newRow, type RowOf, type TableName } from '@fillwright/core/fleet';

/** A small invented fleet: one yard with two hoses on one tank, six drivers with a card each, and nothing to key. */
export const YARD = 'tidewharf';
const GALLON = 3_785_412;
const NAMES = ['Orla Finch', 'Tam Reed', 'Ines Moor', 'Jory Vale', 'Petra Lund', 'Abel Stoke'];

export const HOSES = ['tidewharf-h1', 'tidewharf-h2'] as const;
export const cardOf = (driver: number): string => String(70_100 + driver);

export function smallFleet(): Fleet {
  const fleet = emptyFleet({ name: 'Tidewharf Haulage', units: 'us', currency: 'USD' });
  const put = <T extends TableName>(table: T, row: Partial<RowOf<T>> & { id: string }) =>
    (fleet[table] as unknown as Map<string, AnyRow>).set(row.id, { ...newRow(table, row), ...row } as AnyRow);
  put('products', { id: 'diesel', name: 'Diesel', short: 'DIESEL', kind: 'diesel' });
  put('sites', {
    id: YARD,
    name: 'Tidewharf Yard',
    address: '1 Staithe Lane, Tidewharf',
    zone: 'America/Chicago',
    identify: 'driver',
    pin: false,
  });
  put('islands', { id: 'tidewharf-i1', site: YARD, name: 'Island 1' });
  put('tanks', { id: 'tidewharf-t1', site: YARD, name: 'Tank 1', product: 'diesel', capacity: 12_000 * GALLON });
  put('pumps', { id: 'tidewharf-p1', site: YARD, name: 'Pump 1', tanks: ['tidewharf-t1'], flow: 40 * GALLON });
  put('terminals', { id: 'tidewharf-term', site: YARD, island: 'tidewharf-i1', name: 'Terminal 1', paper: 32 });
  HOSES.forEach((id, i) => {
    put('hoses', {
      id,
      site: YARD,
      number: i + 1,
      channel: i + 1,
      island: 'tidewharf-i1',
      pump: 'tidewharf-p1',
      terminals: ['tidewharf-term'],
      product: 'diesel',
      flow: 20 * GALLON,
      mostPerFill: 30 * GALLON,
    });
  });
  put('allowances', { id: 'yard', name: 'Yard', products: ['diesel'], perFill: 25 * GALLON, perDay: 9_000 * GALLON });
  NAMES.forEach((name, i) => {
    put('drivers', { id: `driver-${i}`, name, allowances: ['yard'] });
    put('credentials', { id: `card-${i}`, number: cardOf(i), driver: `driver-${i}` });
  });
  put('prices', { id: 'diesel-price', product: 'diesel', from: '2026-01-01', price: 41_900 });
  return fleet;
}
