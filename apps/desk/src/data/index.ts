/**
 * What every page works with; findings are in `./findings.ts`, `useWhere` in `./where.ts`, the rest is here.
 *
 * - `useDraft()` -> the fleet as it stands in the draft, with the changes of this window in it at once:
 *     { fleet, version, edit(edits, note), undo(), redo(), canUndo, canRedo, keeping }
 *   `edit` checks the rows by core, shows the change at once and sends it; its answer is a Result with problems (nothing was changed
 *   then). The note is what history shows, such as 'Per fill of Night shift'. There is no save button anywhere.
 * - `useFindings()` -> the findings of the draft, computed here by core in a worker; empty at first, then a moment behind.
 *   `findingsAt(findings, table, id)` -> those that speak of one record.
 * - `<RecordEditor table id fields>` in `../field/record-editor.tsx` edits a record of the draft in place.
 * - `useAsk(route, give)` -> TanStack Query around one GET route of wire; `ask.data`, `ask.error` (a `CallError` with `.problem`).
 *   Lists refresh by themselves when the hub says that something changed (`/api/events`).
 * - `useDo(route)` -> a mutation around any other route: `const stop = useDo('stopCredential'); stop.mutate({ params, body })`.
 *   Queries are asked again afterwards.
 * - `useMe()` -> who is signed in; `useMay('editor')` -> whether their role may do that.
 * - `placeOf(table, id)` -> the page on which a record is shown, for <Link {...placeOf(table, id)}>; `nameOf(fleet, table, id)`.
 * - `useWhere()` -> [search, change]: the part of the address after '?', as plain texts, so that what is open can be linked to.
 * - `useToday()` -> today's date as YYYY-MM-DD; `moment(ms)`, `ago(ms, now)` -> instants in words.
 */
export { ago, moment, useNow, useToday } from './clock.ts';
export { useDraft } from './draft.ts';
export { CallError, useAsk, useDo } from './hub.ts';
export { useMay, useMe } from './me.ts';
export { nameOf, placeOf } from './where.ts';
