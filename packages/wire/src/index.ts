export * from './bundle.ts';
export { type Caller, call, type Failure, type ReplyOf, urlOf } from './client.ts';
export { type DeskEvent, deskEvent } from './events.ts';
export * from './messages.ts';
export * from './replies.ts';
export type { StockDelivery, TankStock } from './routes/stock.ts';
export { ROUTES, type Role, type Route, type RouteName, type Routes } from './routes.ts';
export { type AllKind, type DownKind, parseDownTopic, parseUpTopic, topics, type UpKind } from './topics.ts';
