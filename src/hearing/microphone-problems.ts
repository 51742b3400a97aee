import { bad, type Problem } from '../units/outcome.ts';

const BY_HAND = 'The check goes on by touch and keyboard.';

/** What stands behind a failed `getUserMedia`: the names are those of the Media Capture and Streams specification. */
export function microphoneProblem(error: unknown): Problem {
  const name = error instanceof Error || error instanceof DOMException ? error.name : '';
  switch (name) {
    case 'NotAllowedError':
    case 'SecurityError':
      return problem(
        'The browser may not use the microphone.',
        `Allow it in the address bar or in the system's settings, then try again. ${BY_HAND}`,
      );
    case 'NotFoundError':
    case 'OverconstrainedError':
      return problem('There is no microphone.', `Plug one in: it is used at once. ${BY_HAND}`);
    case 'NotReadableError':
    case 'AbortError':
      return problem(
        'The microphone does not start; another program may be using it.',
        `Close that program, then try again. ${BY_HAND}`,
      );
    default:
      return problem(`The microphone cannot be used${name === '' ? '' : ` (${name})`}.`, `Try again. ${BY_HAND}`);
  }
}

export const INSECURE: Problem = problem(
  'The browser gives a microphone only to secure pages.',
  `Open the app by https, or on this machine by localhost. ${BY_HAND}`,
);

export const UNPLUGGED: Problem = problem(
  'The microphone was unplugged.',
  `Plug one in: it is used at once. ${BY_HAND}`,
);

export const SUSPENDED: Problem = problem(
  'The browser has paused the sound.',
  `Touch the screen or press a key to go on listening. ${BY_HAND}`,
);

export const MUTED: Problem = problem(
  'The microphone is muted.',
  `Unmute it at the device or in the system's settings. ${BY_HAND}`,
);

export const CUTS_OFF: Problem = problem(
  'The microphone is too loud: its sound is cut off.',
  'Hold it farther away, or choose less gain at the sound check. Hearing goes on.',
);

/** The one that was chosen is not there; `name` is that of the one in its place, empty where the browser keeps it. */
export function anotherMicrophone(name: string): Problem {
  return problem(
    `The microphone that was chosen is not there: ${name === '' ? 'the system’s own' : name} listens.`,
    'Plug it in and begin again, or choose another one at the sound check.',
  );
}

/** Sound was lost for `ms`; nothing stands in for it. */
export function gapProblem(ms: number): Problem {
  return problem(`The microphone left out ${(ms / 1000).toFixed(1)} s of sound.`, 'If you spoke then, say it again.');
}

function problem(what: string, repair: string): Problem {
  return bad(what, 'microphone', repair).problem;
}
