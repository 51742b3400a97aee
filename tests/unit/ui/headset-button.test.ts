import { describe, expect, it } from 'vitest';
import { HeadsetButton } from '../../../src/ui/cab/headset-button.ts';

/** A browser with a headset, whose button sends `play` or `pause`. */
function browser(plays: Promise<void> = Promise.resolve()) {
  const handlers = new Map<string, MediaSessionActionHandler | null>();
  const did: string[] = [];
  const session = {
    playbackState: 'none' as MediaSessionPlaybackState,
    setActionHandler: (action: MediaSessionAction, handler: MediaSessionActionHandler | null) =>
      void handlers.set(action, handler),
  };
  const button = new HeadsetButton(
    () => did.push('pressed'),
    session,
    () => ({
      play() {
        did.push('silence');
        return plays;
      },
      pause: () => did.push('no silence'),
    }),
  );
  return { button, did, session, press: (action: 'play' | 'pause') => handlers.get(action)?.({ action }) };
}

describe('the button of a headset', () => {
  it('is told of at each press, whatever the headset takes it for, while it is listened to', () => {
    const { button, did, press, session } = browser();
    press('play');
    button.listen();
    button.listen();
    press('play');
    press('pause');
    expect(session.playbackState).toBe('playing');
    button.stop();
    press('play');
    expect(did).toEqual(['silence', 'pressed', 'pressed', 'no silence']);
    expect(session.playbackState).toBe('none');
  });

  it('is tried again later where the browser plays nothing yet', async () => {
    const refused = Promise.reject(new Error('no press yet'));
    const { button, did } = browser(refused);
    button.listen();
    await refused.catch(() => undefined);
    button.listen();
    expect(did).toEqual(['silence', 'no silence', 'silence']);
    await refused.catch(() => undefined);
  });

  it('is none in a browser without it', () => {
    const button = new HeadsetButton(
      () => expect.unreachable(),
      null,
      () => expect.unreachable(),
    );
    button.listen();
    button.stop();
  });
});
