import { z } from 'zod';

// The hub's page allows no code that is made from text, so zod need not try. First of all imports, before any schema is made.
z.config({ jitless: true });
