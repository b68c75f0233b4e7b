/** The solver off the page, so that the screen stays live while it works. */
import { work, type Posted, type Said } from './solver-work';

function said({ id, ask }: Posted): Said {
  try {
    return { id, answer: work(ask) };
  } catch (error) {
    return { id, problem: error instanceof Error ? error.message : String(error) };
  }
}

addEventListener('message', ({ data }: MessageEvent<Posted>) => {
  postMessage(said(data));
});
