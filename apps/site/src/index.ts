export type { Membership } from './box/identity.ts';
export { type JoinOptions, join } from './box/join.ts';
export { type Clock, realClock } from './clock.ts';
export type { HoseView, SiteView, TerminalView } from './page/view.ts';
export { bundleOf, preparePractice, sealPins } from './practice.ts';
export type { Yard, YardBack, YardHands, YardMaker } from './runner/run.ts';
export { type SimulatedOptions, simulatedYards } from './simulated.ts';
export { type RunningSite, type SiteOptions, startSite } from './site.ts';
export { type WiredOptions, wiredYards } from './wired.ts';
