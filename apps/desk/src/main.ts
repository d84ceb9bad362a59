import { z } from 'zod';

// The hub's page allows no code that is made from text, so zod need not try: said before any schema is made.
z.config({ jitless: true });
void import('./start.tsx');
