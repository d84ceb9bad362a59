import type { Problem } from '@fillwright/core/errors';
import { ASKED, call, type Failure, type ReplyOf, type RouteName } from '@fillwright/wire';
import { QueryClient, type UseMutationResult, useMutation, useQuery, useQueryClient } from '@tanstack/react-query';

/** What a route takes: params, query, body or file. */
export type GiveOf<N extends RouteName> = Parameters<typeof call<N>>[2];

/** A refusal of the hub, or its silence, as an error that Query carries. */
export class CallError extends Error {
  readonly problem: Problem;
  readonly all: readonly Problem[];
  readonly status: number;
  constructor(failure: Failure) {
    super(failure.problem.cause);
    this.problem = failure.problem;
    this.all = failure.all;
    this.status = failure.status;
  }
}

const here = { base: '', fetch: (input: RequestInfo | URL, init?: RequestInit) => fetch(input, init) };

/** One call to the hub that can be stopped, and of which the hub says by this name how far it is. */
export const longHub = <N extends RouteName>(name: N, give: GiveOf<N>, asked: string, signal: AbortSignal) =>
  call(
    {
      ...here,
      fetch: (input: RequestInfo | URL, init?: RequestInit) => fetch(input, { ...init, signal }),
      headers: { [ASKED]: asked },
    },
    name,
    give,
  );

/** One call to the hub as a Result. */
export const hub = <N extends RouteName>(name: N, give: GiveOf<N>) => call(here, name, give);

/** One call to the hub that throws a `CallError`. */
export async function hubOrThrow<N extends RouteName>(name: N, give: GiveOf<N>): Promise<ReplyOf<N>> {
  const answer = await hub(name, give);
  if (!answer.ok) throw new CallError(answer.error);
  return answer.value;
}

export const queryClient = new QueryClient({
  defaultOptions: {
    queries: {
      staleTime: 30_000,
      // A refusal stays a refusal; silence may be over in a moment.
      retry: (count, error) => count < 3 && error instanceof CallError && error.status === 0,
      refetchOnWindowFocus: true,
    },
  },
});

interface AskOptions<N extends RouteName> {
  readonly enabled?: boolean;
  /** After how many ms the hub is asked again, by what it said last; undefined: when there is news. */
  readonly again?: (last: ReplyOf<N> | undefined) => number | undefined;
}

export function useAsk<N extends RouteName>(name: N, give: GiveOf<N>, { again, ...options }: AskOptions<N> = {}) {
  return useQuery<ReplyOf<N>, CallError>({
    queryKey: [name, give],
    queryFn: () => hubOrThrow(name, give),
    refetchInterval: (query) => again?.(query.state.data as ReplyOf<N> | undefined) ?? false,
    ...options,
  });
}

export function useDo<N extends RouteName>(name: N): UseMutationResult<ReplyOf<N>, CallError, GiveOf<N>> {
  const client = useQueryClient();
  return useMutation<ReplyOf<N>, CallError, GiveOf<N>>({
    mutationFn: (give) => hubOrThrow(name, give),
    onSuccess: () => client.invalidateQueries(),
  });
}
