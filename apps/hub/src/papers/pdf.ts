import type { Problem, Result } from '@fillwright/core/errors';
import type { Paper } from '@fillwright/paper';
import type { App } from '../app.ts';
import type { AskOptions } from '../thread/thread.ts';

/** A paper as PDF, set beside the office's other work. */
export const paperPdf = (app: App, paper: Paper, options: AskOptions): Promise<Result<Uint8Array, Problem[]>> =>
  app.papers.ask<'pdf'>('pdf', async () => ({ kind: 'pdf', paper }), options);
