export { CATALOGUE, type ProblemCode } from './catalogue.ts';
export { err, ok, type Place, type Problem, ProblemError, problem, type Result } from './problem.ts';
