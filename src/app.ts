/** Wiring: the only place that picks engines, voices and stores. */
import { browserVoiceSources, fetchPack } from './answering/browser-voice-sources.ts';
import fliteWorkerUrl from './answering/flite-worker.ts?worker&url';
import { chooseVoice } from './answering/choose-voice.ts';
import { webAudioPlayer } from './answering/embedded-speaker.ts';
import { OPERATOR_FILES } from './answering/voice-pack.ts';
import { builtInPlans } from './check/built-in-plans.ts';
import { readGrammar } from './grammar/read-grammar.ts';
import { servedModels } from './hearing/models/served.ts';
import { createHearing } from './hearing/hearing.ts';
import type { HearingEvents } from './hearing/hearing.ts';
import { microphonesIn } from './hearing/microphone-list.ts';
import { openMicrophone } from './hearing/microphone.ts';
import { hostClock } from './running/host-clock.ts';
import { writeWav } from './hearing/wav.ts';
import { confinedWorker } from './hearing/worker/confined-worker.ts';
import { spawnEmbeddedWorker, spawnVoskWorker } from './hearing/worker/spawn-web.ts';
import { BUILT_IN_PROFILES } from './judging/built-in-profiles.ts';
import { chainedStore } from './record/chained-store.ts';
import { openDevice } from './record/device-key.ts';
import { tabClaims } from './record/claims.ts';
import { diskStore } from './record/disk-store.ts';
import { keepingStore } from './record/keeping-store.ts';
import { diskRehearsals, memoryRehearsals } from './record/rehearsal-shelf.ts';
import { unchainedStore } from './record/unchained-store.ts';
import { languageOf } from './running/language.ts';
import type { DemoParts } from './running/demo-operator.ts';
import { EarModels } from './running/ear-models.ts';
import { earName, earOrder, everyEar } from './running/ear-order.ts';
import type { EarOption } from './running/ear-order.ts';
import { microphoneEar } from './running/microphone-ear.ts';
import type { NamedHearing } from './running/microphone-ear.ts';
import { smallStore } from './running/settings.ts';
import type { ShelfKeeper } from './shelf/keeper.ts';
import { noticingStore } from './shelf/noticing-store.ts';
import { unconfirmedHost } from './ui/shared/hosts.ts';
import { pageXml } from './ui/shelf/page-xml.ts';
import { tellUnhandled } from './ui/shell/last-resort.ts';
import { browserOffline } from './ui/shell/offline.ts';
import { RECORD_NOTICES } from './ui/shell/record-notices.ts';
import { speechOver } from './running/speech-over.ts';
import { randomId } from './ui/shared/random-id.ts';
import { stayAwake } from './ui/shell/stay-awake.ts';
import { TwoNeedles } from './ui/shell/two-needles.ts';
import { bad, good, problemLine } from './units/outcome.ts';
import { SAMPLE_RATE } from './units/time.ts';

const GRAMMARS: Record<string, string> = import.meta.glob('../grammars/*.jsgf', {
  query: '?raw',
  import: 'default',
  eager: true,
});
const served = (path: string): URL => new URL(path, document.baseURI);
const MODELS = { embedded: served('models/embedded/').href, own: served('models/own/').href };
/** Goes into every log. */
const APP = 'Two Needles 0.1.0';
const clock = hostClock();
const DARK = matchMedia('(prefers-color-scheme: dark)');

async function start(app: TwoNeedles): Promise<void> {
  const notice = (line: string): void => {
    app.notices = [...app.notices, line];
  };
  const grammar = readGrammar(GRAMMARS);
  if (!grammar.ok) {
    notice(problemLine(grammar.problem));
    return;
  }
  const language = languageOf(grammar.value);
  const disk = await diskStore().catch(() => undefined);
  const kept = keepingStore(disk, (kind) => {
    if (kind !== 'disk-back') notice(RECORD_NOTICES[kind]);
    else app.notices = app.notices.filter((line) => line !== RECORD_NOTICES['disk-lost']);
  });
  // A page that was not loaded from https or localhost has no WebCrypto; its logs are chained when it is.
  // Absent outside https and localhost, whatever the type says.
  const locks = navigator.locks as LockManager | undefined;
  const device = await openDevice(locks).catch(() => undefined);
  if (device === undefined) notice('This address is not secure (https), so logs of checks are kept, but not sealed.');
  const player = webAudioPlayer(() => new AudioContext());
  const voice = chooseVoice({
    ...('speechSynthesis' in window ? { synthesis: speechSynthesis } : {}),
    makeUtterance: (text) => new SpeechSynthesisUtterance(text),
    sources: browserVoiceSources(served('voice/'), () => confinedWorker(fliteWorkerUrl, 'voice')),
    player,
    unsaid: (phrase) => {
      app.unsaid = phrase;
    },
  });
  const hearing = (ear: EarOption, events: HearingEvents, live: boolean, slowSpeaker = false) =>
    ear.engine === 'embedded'
      ? createHearing({ spawn: spawnEmbeddedWorker, model: MODELS.embedded, live }, events)
      : createHearing(
          {
            spawn: spawnVoskWorker,
            model: ear.model?.id ?? MODELS.own,
            second: MODELS.embedded,
            mostRestarts: 1,
            live,
            slowSpeaker,
          },
          events,
        );
  const earModels = new EarModels({
    // Only who asks for models loads what reads them.
    open: async () => (await import('./hearing/models/browser-models.ts')).openBrowserModels(grammar.value),
    served: () => servedModels(served('models/'), fetch.bind(globalThis)),
    freeSpace: async () => (await import('./hearing/models/browser-models.ts')).freeSpace(),
  });
  const engine = (ear: EarOption, live = true, slowSpeaker = false): NamedHearing => ({
    id: ear.engine,
    name: earName(ear),
    hearing: (events) => hearing(ear, events, live, slowSpeaker),
  });

  let keeper: Promise<ShelfKeeper> | undefined;
  const told = (tell: (keeper: ShelfKeeper) => void) => (): void => void keeper?.then(tell, () => undefined);
  const store =
    device === undefined
      ? unchainedStore(kept)
      : noticingStore(chainedStore(kept, device.signer, clock.wall, APP, device), {
          kept: told((shelf) => shelf.kept()),
          sealed: told((shelf) => shelf.look()),
        });
  const unconfirmed = (address: string): string | undefined => unconfirmedHost(address, location.origin, localStorage);
  const shelf = (): Promise<ShelfKeeper> =>
    (keeper ??= import('./shelf/page-shelf.ts').then(({ pageShelf }) =>
      pageShelf({ store, clock, unconfirmed, xml: pageXml, locks: navigator.locks }),
    ));

  app.parts = {
    language,
    plans: builtInPlans(language.cues),
    profiles: BUILT_IN_PROFILES,
    store,
    shelf: device === undefined ? undefined : shelf,
    claims: tabClaims(locks),
    rehearsals: await diskRehearsals().catch(memoryRehearsals),
    small: smallStore(() => localStorage),
    speech: (settings) => speechOver(voice, settings, clock.steady),
    ear: (settings) =>
      microphoneEar({
        microphone: (events) =>
          openMicrophone(
            {
              echoCancellation: settings().echoCancellation,
              device: settings().microphone,
              gain: settings().gain,
              steady: clock.steady,
            },
            events,
          ),
        steady: clock.steady,
        engines: async () =>
          earOrder(settings().ear, await earModels.list()).map((ear) => engine(ear, true, settings().slowSpeaker)),
        pushToTalk: () => settings().pushToTalk,
        headset: () => settings().headset,
      }),
    microphones: async () => {
      // Absent outside https and localhost, whatever the type says.
      const devices = navigator.mediaDevices as MediaDevices | undefined;
      return microphonesIn((await devices?.enumerateDevices().catch(() => [])) ?? []);
    },
    ears: async () => everyEar(await earModels.list()).map((ear) => engine(ear, false)),
    earModels,
    demoEar: async (check, volume) => {
      const pack = await fetchPack(served('voice/'), OPERATOR_FILES);
      if (pack === undefined)
        return bad('The voice of the demo is missing.', OPERATOR_FILES.clips, 'Go online, and load the page again.');
      const { demoMicrophone } = await import('./running/demo-operator.ts');
      const loud = { settings: { rate: 1, volume, system: false }, sounding: () => undefined };
      const play: DemoParts['play'] = (sound, cut) => void player.play(sound, { ...loud, cut }).catch(() => undefined);
      return good(
        microphoneEar({
          microphone: (events) => demoMicrophone({ ...clock, clip: (line) => pack.clip(line), play, check }, events),
          steady: clock.steady,
          engines: () => Promise.resolve([engine({ engine: 'vosk' })]),
          pushToTalk: () => false,
          headset: () => true,
        }),
      );
    },
    offline: browserOffline(served('./')),
    newId: () => randomId(),
    stayAwake,
    prefersDark: { now: () => DARK.matches, onChange: (changed) => DARK.addEventListener('change', changed) },
    ...clock,
    begun: () => new Promise((resolve) => setTimeout(resolve)),
    wav: (clip) => new Blob([writeWav(clip, SAMPLE_RATE)], { type: 'audio/wav' }),
  };
  // After the first screen is there: what is on goes on by itself.
  if (device !== undefined) void shelf().catch(() => undefined);
  // Without it the app is as it is, and is kept for offline use at the next visit.
  const updates = await import('./ui/shell/offer-updates.ts').catch(() => undefined);
  updates?.offerUpdates(locks, (use) => {
    app.useUpdate = async () => {
      if (!(await use())) notice('A check runs in another tab: the newer version waits until it has ended.');
    };
  });
  // Browsers decide by themselves whether to grant it; pages without secure context have none.
  const storage = navigator.storage as StorageManager | undefined;
  await storage?.persist().catch(() => false);
}

const app = document.querySelector('two-needles');
if (app instanceof TwoNeedles) {
  tellUnhandled(window, (line) => {
    app.notices = [...app.notices, line];
  });
  void start(app);
}
