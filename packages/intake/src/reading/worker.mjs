// @ts-check
import { parentPort, workerData } from 'node:worker_threads';
import { readBytes } from './read-bytes.mjs';

await readBytes(workerData.files, workerData.limits, (parcel) => parentPort?.postMessage(parcel));
