import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { DEMO_RIGS } from '../../../src/airsystem/rig.ts';
import { faultsFor, readScenario } from '../../../src/airsystem/scenario.ts';
import { problemLine } from '../../../src/units/outcome.ts';

const FOLDER = new URL('../../../src/airsystem/scenarios/', import.meta.url);
const files = readdirSync(FOLDER);

const base = {
  format: 'two-needles-scenario',
  version: 1,
  id: 'a-rehearsal',
  title: 'A rehearsal',
  seed: 7,
  rig: 'engine-31',
  faults: [],
  told: 'Do the full cab check.',
};
const leak = { kind: 'leak', circuit: 'primary', when: 'always', psiPerMinute: 4 };
const dead = { kind: 'dead-low-air-switch', circuit: 'both' };
const weak = { kind: 'weak-hold', remaining: 0.2 };
const rigWith = (change: object) => ({ ...base, rig: { ...DEMO_RIGS['engine-31'], ...change } });

function refusal(json: unknown): string {
  const read = readScenario(json, 'mine.json');
  return read.ok ? 'accepted' : problemLine(read.problem);
}

describe('a scenario file', () => {
  it.each(files)('%s of the demo is read, and named after its id', (file) => {
    const read = readScenario(JSON.parse(readFileSync(new URL(file, FOLDER), 'utf8')), file);
    expect(read.ok && `${read.value.id}.json`).toBe(file);
  });

  it('may name a demo rig or bring its own', () => {
    const own = readScenario(rigWith({ name: 'Engine 7' }), 'mine.json');
    expect(own.ok && own.value.rig.name).toBe('Engine 7');
    const named = readScenario(base, 'mine.json');
    expect(named.ok && named.value.rig).toEqual(DEMO_RIGS['engine-31']);
    expect(named.ok && named.value.startPsi).toEqual({ primary: 75, secondary: 75 });
  });

  it.each([
    ['no object', 12, 'The file is 12, which is not possible. Use Object.'],
    ['another format', { ...base, format: 'plan' }, 'format must be two-needles-scenario'],
    ['another version', { ...base, version: 2 }, 'version must be 1'],
    ['a missing key', { ...base, told: undefined }, 'told'],
    ['an unknown key', { ...base, faulst: [] }, 'faulst is not an entry that is known here'],
    ['an unknown rig', { ...base, rig: 'engine-99' }, 'rig must be one of engine-31, tender-34, ladder-36'],
    ['a seed that is no whole number', { ...base, seed: 1.5 }, 'seed must be a whole number'],
    [
      'a negative leak',
      { ...base, faults: [leak, { ...leak, psiPerMinute: -1 }] },
      'faults[1].psiPerMinute must be from 0.1 to 60',
    ],
    [
      'a leak that is no number',
      { ...base, faults: [{ ...leak, psiPerMinute: 'big' }] },
      'faults[0].psiPerMinute must be from',
    ],
    [
      'an endless leak',
      { ...base, faults: [{ ...leak, psiPerMinute: Infinity }] },
      'faults[0].psiPerMinute must be from',
    ],
    [
      'a leak of no circuit',
      { ...base, faults: [{ ...leak, circuit: 'third' }] },
      'faults[0].circuit must be primary or secondary',
    ],
    [
      'an unknown fault',
      { ...base, faults: [{ kind: 'flat-tyre' }] },
      'faults[0].kind must be a fault whose kind is one of leak,',
    ],
    [
      'a governor that cuts in above its cut-out',
      { ...base, faults: [{ kind: 'governor', cutOutPsi: 100, cutInPsi: 110 }] },
      'faults[0].cutInPsi must be below the cut-out of 100 psi',
    ],
    [
      'a late switch that is not late',
      { ...base, faults: [{ kind: 'late-low-air-switch', circuit: 'both', closesAtPsi: 70 }] },
      'faults[0].closesAtPsi must be below 66 psi',
    ],
    [
      'a sticking valve that does not stick',
      { ...base, faults: [{ kind: 'sticking-parking-valve', popsAtPsi: 40 }] },
      'faults[0].popsAtPsi must be below 38 psi',
    ],
    [
      'two faults of one part',
      { ...base, faults: [dead, weak, { kind: 'late-low-air-switch', circuit: 'secondary', closesAtPsi: 50 }] },
      'faults[2] changes the secondary low-air switch, as faults[0] does',
    ],
    [
      'more hidden faults than there are',
      { ...base, hidden: { pick: 3, from: [leak, dead] } },
      'hidden.pick must be at most 2',
    ],
    [
      'hidden faults that could meet in one part',
      { ...base, hidden: { pick: 2, from: [leak, dead, { ...leak, psiPerMinute: 9 }] } },
      'hidden.from[2] changes the primary leak, released, as hidden.from[0] does',
    ],
    [
      'a start above the cut-out',
      { ...base, startPsi: { primary: 75, secondary: 130 } },
      'startPsi.secondary must be at most the cut-out',
    ],
    [
      'a rig that warns after its valve pops',
      rigWith({ popOutPsi: 70 }),
      'rig.popOutPsi must be below the low-air warning',
    ],
    [
      'a rig without reservoirs',
      rigWith({ reservoirs: { supply: 0, primary: 0, secondary: 0 } }),
      'rig.reservoirs.supply must be from 1',
    ],
    [
      'a rig with an upside-down governor',
      rigWith({ governor: { cutOutPsi: 100, cutInPsi: 120 } }),
      'rig.governor must have the cut-in below',
    ],
  ])('with %s is refused, with the path and the reason', (_, json, reason) => {
    expect(refusal(json)).toMatch(/^mine\.json[:,] /);
    expect(refusal(json)).toContain(reason);
  });

  it('of any JSON at all is read or refused, never an exception', () => {
    fc.assert(fc.property(fc.jsonValue(), (json) => typeof readScenario(json, 'mine.json').ok === 'boolean'));
    fc.assert(
      fc.property(fc.constantFrom(...Object.keys(base)), fc.jsonValue(), (key, value) => {
        expect(typeof readScenario({ ...base, [key]: value }, 'mine.json').ok).toBe('boolean');
      }),
    );
  });
});

describe('hidden faults', () => {
  const read = readScenario({ ...base, faults: [weak], hidden: { pick: 1, from: [leak, dead] } }, 'mine.json');
  if (!read.ok) throw new Error(read.problem.what);
  const scenario = read.value;

  it('are the same for the same seed, beside those always there', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: 0xffff_ffff }), (seed) => {
        const faults = faultsFor(scenario, seed);
        expect(faults).toEqual(faultsFor(scenario, seed));
        expect(faults).toHaveLength(2);
        expect(faults[0]).toEqual(weak);
        expect([leak, dead]).toContainEqual(faults[1]);
      }),
    );
  });

  it('all come up, about equally often, over many seeds', () => {
    const leaks = Array.from({ length: 1000 }, (_, seed) => faultsFor(scenario, seed)[1]?.kind).filter(
      (kind) => kind === 'leak',
    );
    // 1000 fair picks of two: 500 ± 16 (one standard deviation).
    expect(Math.abs(leaks.length - 500)).toBeLessThan(80);
  });

  it('are all different when several are picked', () => {
    const several = readScenario({ ...base, hidden: { pick: 3, from: [leak, dead, weak] } }, 'mine.json');
    expect(several.ok && new Set(faultsFor(several.value).map((fault) => fault.kind)).size).toBe(3);
  });
});
