import { type Problem, ProblemError, problem } from '@fillwright/core/errors';
import type { Refused } from '@fillwright/wire';
import type { FastifyError, FastifyReply, FastifyRequest } from 'fastify';
import { statusOf } from './status.ts';

const MOST_PROBLEMS = 500;

export function refuse(request: FastifyRequest, reply: FastifyReply, problems: readonly Problem[]): FastifyReply {
  const error = problems[0] ?? problem('FW-505');
  const body: Refused = { error, all: problems.slice(0, MOST_PROBLEMS), request: request.id } as Refused;
  return reply.code(statusOf(error.code)).header('content-type', 'application/json').send(JSON.stringify(body));
}

const tooLarge = new Set(['FST_ERR_CTP_BODY_TOO_LARGE']);

/** What a thrown error says to the caller; the details of a fault of our own stay in the log. */
export function problemsOf(error: FastifyError | Error): readonly Problem[] {
  if (error instanceof ProblemError) return [error.problem];
  const { validation, code, statusCode } = error as FastifyError;
  if (validation)
    return validation.map((v) =>
      problem('FW-501', {
        at: { field: v.instancePath.replace(/^\//, '').replaceAll('/', '.') },
        ...(v.message === undefined ? {} : { expected: v.message }),
      }),
    );
  if (tooLarge.has(code)) return [problem('FW-506')];
  if (statusCode !== undefined && statusCode >= 400 && statusCode < 500)
    return [problem('FW-501', { found: error.message })];
  if (['ECONNREFUSED', 'ECONNRESET', '57P01', '57P03'].includes(code)) return [problem('FW-503')];
  return [problem('FW-505')];
}
