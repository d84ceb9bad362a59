import { livesThroughItsDays } from './days.ts';

livesThroughItsDays(0);
