/** What the worker tells the page: the office was heard, or an answer of `at` (ms UTC) was given in its place. */
export type Told = { readonly kind: 'heard' } | { readonly kind: 'kept'; readonly at: number };
