import type { ComponentType } from 'react';

type Loads = () => Promise<{ default: ComponentType }>;

export interface PageEntry {
  readonly path: string;
  readonly label: string;
  readonly load: Loads;
  /** Pages of one group stand together in the navigation, under its words. */
  readonly group: '' | 'Fleet' | 'Check and send' | 'Every gallon' | 'Office';
}

/** Every page of the desk in the order of the navigation; each file exports its component as default and is loaded when first shown. */
export const PAGES: readonly PageEntry[] = [
  { path: '/', label: 'Today', group: '', load: () => import('./pages/today/page.tsx') },
  { path: '/sheet', label: 'Sheet', group: 'Fleet', load: () => import('./pages/sheet/page.tsx') },
  { path: '/roster', label: 'Roster', group: 'Fleet', load: () => import('./pages/roster/page.tsx') },
  { path: '/policy', label: 'Policy', group: 'Fleet', load: () => import('./pages/policy/page.tsx') },
  { path: '/reach', label: 'Reach', group: 'Fleet', load: () => import('./pages/reach/page.tsx') },
  { path: '/compare', label: 'Compare', group: 'Fleet', load: () => import('./pages/compare/page.tsx') },
  {
    path: '/expectations',
    label: 'Expectations',
    group: 'Fleet',
    load: () => import('./pages/expectations/page.tsx'),
  },
  { path: '/import', label: 'Import', group: 'Fleet', load: () => import('./pages/import/page.tsx') },
  { path: '/bench', label: 'Bench', group: 'Check and send', load: () => import('./pages/bench/page.tsx') },
  { path: '/findings', label: 'Findings', group: 'Check and send', load: () => import('./pages/findings/page.tsx') },
  { path: '/release', label: 'Release', group: 'Check and send', load: () => import('./pages/release/page.tsx') },
  { path: '/worksheet', label: 'Worksheet', group: 'Check and send', load: () => import('./pages/worksheet/page.tsx') },
  { path: '/ledger', label: 'Ledger', group: 'Every gallon', load: () => import('./pages/ledger/page.tsx') },
  { path: '/flags', label: 'Flags', group: 'Every gallon', load: () => import('./pages/flags/page.tsx') },
  { path: '/tanks', label: 'Tanks', group: 'Every gallon', load: () => import('./pages/tanks/page.tsx') },
  { path: '/money', label: 'Money', group: 'Every gallon', load: () => import('./pages/money/page.tsx') },
  { path: '/proving', label: 'Proving', group: 'Every gallon', load: () => import('./pages/proving/page.tsx') },
  { path: '/people', label: 'People', group: 'Office', load: () => import('./pages/people/page.tsx') },
  { path: '/settings', label: 'Settings', group: 'Office', load: () => import('./pages/settings/page.tsx') },
];
