import type { ComponentType } from 'react';

type Loads = () => Promise<{ default: ComponentType }>;

export interface PageEntry {
  readonly path: string;
  readonly label: string;
  readonly load: Loads;
  /** Pages of one group stand together in the navigation. */
  readonly group: number;
}

/** Every page of the desk in the order of the navigation; each file exports its component as default and is loaded when first shown. */
export const PAGES: readonly PageEntry[] = [
  { path: '/', label: 'Today', group: 0, load: () => import('./pages/today/page.tsx') },
  { path: '/sheet', label: 'Sheet', group: 1, load: () => import('./pages/sheet/page.tsx') },
  { path: '/roster', label: 'Roster', group: 1, load: () => import('./pages/roster/page.tsx') },
  { path: '/policy', label: 'Policy', group: 1, load: () => import('./pages/policy/page.tsx') },
  { path: '/reach', label: 'Reach', group: 1, load: () => import('./pages/reach/page.tsx') },
  { path: '/compare', label: 'Compare', group: 1, load: () => import('./pages/compare/page.tsx') },
  {
    path: '/expectations',
    label: 'Expectations',
    group: 1,
    load: () => import('./pages/expectations/page.tsx'),
  },
  { path: '/import', label: 'Import', group: 1, load: () => import('./pages/import/page.tsx') },
  { path: '/bench', label: 'Bench', group: 2, load: () => import('./pages/bench/page.tsx') },
  { path: '/findings', label: 'Findings', group: 2, load: () => import('./pages/findings/page.tsx') },
  { path: '/release', label: 'Release', group: 2, load: () => import('./pages/release/page.tsx') },
  { path: '/worksheet', label: 'Worksheet', group: 2, load: () => import('./pages/worksheet/page.tsx') },
  { path: '/ledger', label: 'Ledger', group: 3, load: () => import('./pages/ledger/page.tsx') },
  { path: '/flags', label: 'Flags', group: 3, load: () => import('./pages/flags/page.tsx') },
  { path: '/tanks', label: 'Tanks', group: 3, load: () => import('./pages/tanks/page.tsx') },
  { path: '/money', label: 'Money', group: 3, load: () => import('./pages/money/page.tsx') },
  { path: '/proving', label: 'Proving', group: 3, load: () => import('./pages/proving/page.tsx') },
  { path: '/people', label: 'People', group: 4, load: () => import('./pages/people/page.tsx') },
  { path: '/settings', label: 'Settings', group: 4, load: () => import('./pages/settings/page.tsx') },
];
