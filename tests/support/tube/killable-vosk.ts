import type { OpenVoskWorker } from '../../../src/hearing/vosk/engine-messages.ts';

/** The engine's worker with a way to end it as the system does, told at once: when the host would tell is no matter of the sample clock. */
export function killableVosk(open: OpenVoskWorker, killable: (kill: () => void) => void): OpenVoskWorker {
  return (hooks) => {
    let told = false;
    const worker = open({
      ...hooks,
      death: (reason) => {
        if (!told) hooks.death(reason);
        told = true;
      },
    });
    killable(() => {
      if (told) return;
      told = true;
      worker.terminate();
      hooks.death('killed by the test');
    });
    return worker;
  };
}
