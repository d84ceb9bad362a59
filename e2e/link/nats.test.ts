import { NATS } from '../stage/broker.ts';
import { theLineHolds } from './line.ts';

theLineHolds(NATS);
