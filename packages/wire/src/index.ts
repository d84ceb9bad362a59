export * from './bundle.ts';
export { type Caller, call, type Failure, type ReplyOf, urlOf } from './client.ts';
export { ASKED, type DeskEvent, deskEvent } from './events.ts';
export * from './handover.ts';
export * from './messages.ts';
export * from './replies.ts';
export type { ChangeReply, DifferenceReply, ExpectationReply, ReachRow, ReachWeekReply } from './routes/compare.ts';
export type { FlagReply } from './routes/flags.ts';
export type { AccountSums, AccountTax, MoneyStatement } from './routes/money.ts';
export type { OfficeKey } from './routes/office-key.ts';
export type { Proving } from './routes/proving.ts';
export type { StockDelivery, TankStock, TankVerdict } from './routes/stock.ts';
export {
  MOST_PHOTOS,
  PHOTO_BYTES,
  SIGNATURE,
  type WorksheetHead,
  type WorksheetReply,
} from './routes/worksheets.ts';
export { ROUTES, type Role, type Route, type RouteName, type Routes } from './routes.ts';
export * from './stick.ts';
export { type AllKind, type DownKind, parseDownTopic, parseUpTopic, topics, type UpKind } from './topics.ts';
export { oneWordForAll } from './words.ts';
