import { z } from 'zod';

export type Role = 'owner' | 'editor' | 'technician' | 'viewer';

export interface Route {
  readonly method: 'GET' | 'POST' | 'DELETE' | 'PATCH';
  readonly path: string;
  /** Who may call it: 'anyone' needs no sign-in; a role means that role or one that may more (viewer < technician < editor < owner). */
  readonly may: Role | 'anyone';
  readonly summary: string;
  readonly params?: z.ZodObject;
  readonly query?: z.ZodObject;
  readonly body?: z.ZodType;
  readonly reply: z.ZodType;
  /** Replies that are not JSON. */
  readonly file?: string;
}

export const none = z.strictObject({});
export const which = z.object({ which: z.string().default('draft').describe("'draft', or the number of a release") });
export const siteParams = z.object({ site: z.string() });
