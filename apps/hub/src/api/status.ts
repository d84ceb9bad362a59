import type { ProblemCode } from '@fillwright/core/errors';

const STATUS: Partial<Record<ProblemCode, number>> = {
  'FW-102': 413,
  'FW-111': 404,
  'FW-204': 404,
  'FW-301': 409,
  'FW-302': 409,
  'FW-303': 409,
  'FW-304': 409,
  'FW-305': 409,
  'FW-308': 404,
  'FW-309': 409,
  'FW-320': 409,
  'FW-322': 409,
  'FW-323': 503,
  'FW-336': 409,
  'FW-338': 409,
  'FW-401': 401,
  'FW-402': 401,
  'FW-403': 403,
  'FW-404': 409,
  'FW-405': 403,
  'FW-408': 409,
  'FW-409': 429,
  'FW-502': 404,
  'FW-503': 503,
  'FW-504': 503,
  'FW-505': 500,
  'FW-506': 413,
  'FW-740': 409,
  'FW-741': 409,
  'FW-742': 409,
  'FW-744': 413,
};

/** The HTTP status that goes with a problem; what is not named is about the request itself. */
export const statusOf = (code: ProblemCode): number => STATUS[code] ?? 400;
