import { type Problem, problem } from '@fillwright/core/errors';
import type { Me, Role } from '@fillwright/wire';
import type { FastifyReply, FastifyRequest } from 'fastify';

const RANK: Record<Role, number> = { viewer: 0, technician: 1, editor: 2, owner: 3 };

export const maySee = (who: Me | undefined, may: Role | 'anyone'): Problem | undefined => {
  if (may === 'anyone') return undefined;
  if (!who) return problem('FW-401');
  if (RANK[who.role] >= RANK[may]) return undefined;
  return problem('FW-403', { found: who.role, expected: may });
};

/**
 * Refuses a change that another site's page asked for: browsers say where a request comes from by Origin and Sec-Fetch-Site, and
 * the cookie is SameSite=Strict besides. Programs that are no browsers send neither.
 */
export function crossSite(request: FastifyRequest): Problem | undefined {
  if (request.method === 'GET' || request.method === 'HEAD') return undefined;
  const { origin, host } = request.headers;
  const site = request.headers['sec-fetch-site'];
  const fromElsewhere =
    (origin !== undefined && hostOf(origin) !== host) ||
    (site !== undefined && site !== 'same-origin' && site !== 'none');
  return fromElsewhere
    ? problem('FW-403', {
        cause: 'The request comes from another site’s page.',
        mend: 'Open the desk itself and try there.',
      })
    : undefined;
}

const hostOf = (origin: string): string | undefined => (URL.canParse(origin) ? new URL(origin).host : undefined);

const POLICY = [
  "default-src 'self'",
  // Charts put their own style elements into the page.
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' data: blob:",
  "worker-src 'self' blob:",
  "object-src 'none'",
  "base-uri 'none'",
  "form-action 'self'",
  "frame-ancestors 'none'",
].join('; ');

export function secureHeaders(reply: FastifyReply): void {
  reply.headers({
    'content-security-policy': POLICY,
    'x-content-type-options': 'nosniff',
    'referrer-policy': 'no-referrer',
    'cross-origin-opener-policy': 'same-origin',
    'permissions-policy': 'camera=(), microphone=(), geolocation=()',
  });
}
