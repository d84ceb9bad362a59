import { fieldOf } from '@fillwright/core/fleet';
import { z } from 'zod';

/**
 * Which column of a customer's own roster goes where. Plain data: it can be shown, corrected, kept and used again for the next file of the
 * same make. A column may go to several fields ('Dept' to driver and vehicle), or to none.
 */

export const ROSTER_TABLES = ['drivers', 'vehicles', 'credentials'] as const;
export type RosterTable = (typeof ROSTER_TABLES)[number];

const targetSchema = z
  .strictObject({
    table: z.enum(ROSTER_TABLES),
    field: z.string().max(60),
    /** Place among several columns that make one text, such as first and last name: joined by a blank in this order. */
    part: z.int().min(1).max(9).optional(),
  })
  .refine((t) => t.field !== 'id' && fieldOf(t.table, t.field) !== undefined, {
    error: 'a field of the table, not its id',
  });

export const mappingSchema = z.strictObject({
  columns: z
    .array(
      z.strictObject({
        /** The heading as the file has it. */
        heading: z.string().max(200),
        to: z.array(targetSchema).max(4),
        /** From 0 (a guess in the dark) to 1 (the heading says so). */
        confidence: z.number().min(0).max(1),
        /** Why it was mapped so, in a sentence. */
        why: z.string().max(300),
      }),
    )
    .max(300),
  /** Whom the card of a row stands for, where a row has both. */
  cardOf: z.enum(['driver', 'vehicle', 'both']),
});

export type Target = z.infer<typeof targetSchema>;
export type RosterMapping = z.infer<typeof mappingSchema>;
