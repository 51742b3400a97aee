import type { Trial } from './trial.ts';

/** A trial as somebody would write it down: the rig, what was said and done, and each verdict. */
export function transcriptOf(trial: Trial): string {
  const { seed, scenario, profile, omissions, rehearsal, unknowable, wrong } = trial;
  const lines: { readonly at: number; readonly text: string }[] = [
    ...rehearsal.check.callouts.map(({ at, heard, taken, step }) => ({
      at,
      text: `“${heard}”${taken ? '' : ' (not taken)'}  [${step}]`,
    })),
    ...rehearsal.cab.hands.map(({ at, controls: { ignition, engine, pedalPsi, parking, fastIdle, drive } }) => ({
      at,
      text: `    hands: ${engine && ignition ? 'engine' : 'no engine'}${fastIdle ? ', fast idle' : ''}, pedal ${pedalPsi.toString()} psi${parking === 'leave' ? '' : `, valve ${parking}ed`}${drive ? ', in drive' : ''}`,
    })),
    ...rehearsal.cab.happened.map(({ at, kind }) => ({ at, text: `    the rig: ${kind}` })),
    ...unknowable.map(({ at, what }) => ({ at, text: `    UNKNOWABLE ${what}` })),
  ];
  return [
    `seed ${seed.toString()}: ${scenario.rig.name}, ${JSON.stringify(rehearsal.faults)}, ${profile}${omissions.length === 0 ? '' : `, ${omissions.join(', ')}`}`,
    ...lines
      .sort((one, other) => one.at - other.at)
      .map(({ at, text }) => `${(at / 1000).toFixed(1).padStart(7)}  ${text}`),
    ...rehearsal.check.records.map(({ id, result }) => `  ${id}: ${result.verdict}: ${result.reason}`),
    ...wrong.map(({ step, what }) => `WRONG ${step}: ${what}`),
  ].join('\n');
}
