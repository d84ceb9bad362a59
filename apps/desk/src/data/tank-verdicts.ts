import { useAsk } from './hub.ts';

/** While tanks are still being judged the office is asked again after so many ms. */
const AGAIN_MS = 1_500;

/** Every tank's verdict over 30 days, as far as the office has worked them out. */
export const useTankVerdicts = () =>
  useAsk('tankVerdicts', {}, { again: (last) => (last && last.left > 0 ? AGAIN_MS : undefined) });
