import { MOSQUITTO } from '../stage/broker.ts';
import { theLineHolds } from './line.ts';

theLineHolds(MOSQUITTO);
