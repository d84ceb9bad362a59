export { type Hub, type HubOptions, startHub } from './hub.ts';
