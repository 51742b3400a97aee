import { describe, expect, it } from 'vitest';
import { readRig } from '../../../src/judging/read-rig.ts';

const FULL = {
  id: 'tender-34',
  name: 'Tender 34',
  unit: 'psi',
  resolution: { primary: { value: 2, unit: 'psi' }, secondary: { value: 10, unit: 'kPa' } },
  reservoirs: { supply: 0, primary: 30, secondary: 30.5 },
  requiredReservoirs: 61.4,
  fitted: { handValve: true, fastIdle: false, trailer: false },
  compressorDisplacement: 374,
};

describe('rig settings', () => {
  it('are taken whole, or with nothing but id, name and unit', () => {
    expect(readRig(FULL, 'rig.json')).toEqual({ ok: true, value: FULL });
    const bare = { id: 'engine-31', name: 'Engine 31', unit: 'kPa' };
    expect(readRig(bare, 'rig.json')).toEqual({ ok: true, value: bare });
  });

  it.each([
    [{ id: undefined }, 'id', 'id is missing.'],
    [{ name: '' }, 'name', 'name is empty.'],
    [{ unit: 'bar' }, 'unit', 'unit is "bar", which is not possible.'],
    [
      { resolution: { primary: { value: 0, unit: 'psi' } } },
      'resolution.primary.value',
      'resolution.primary.value is 0, which is not possible.',
    ],
    [
      { resolution: { secondary: { value: 10.5, unit: 'psi' } } },
      'resolution.secondary.value',
      'resolution.secondary.value is 10.5, which is not possible.',
    ],
    [
      { resolution: { secondary: { value: 51, unit: 'kPa' } } },
      'resolution.secondary.value',
      'resolution.secondary.value is 51, which is not possible.',
    ],
    [
      { resolution: { primary: { value: 1, unit: 'bar' } } },
      'resolution.primary.unit',
      'resolution.primary.unit is "bar", which is not possible.',
    ],
    [{ reservoirs: { supply: -1 } }, 'reservoirs.supply', 'reservoirs.supply is -1, which is not possible.'],
    [{ reservoirs: { primary: 0 } }, 'reservoirs.primary', 'reservoirs.primary is 0, which is not possible.'],
    [
      { reservoirs: { secondary: Infinity } },
      'reservoirs.secondary',
      'reservoirs.secondary is Infinity, which is not possible.',
    ],
    [{ requiredReservoirs: 0 }, 'requiredReservoirs', 'requiredReservoirs is 0, which is not possible.'],
    [
      { compressorDisplacement: NaN },
      'compressorDisplacement',
      'compressorDisplacement is NaN, which is not possible.',
    ],
    [{ fitted: { handValve: 'yes' } }, 'fitted.handValve', 'fitted.handValve is "yes", which is not possible.'],
    [{ wheels: 6 }, 'wheels', 'wheels is not an entry that is known here.'],
  ])('%o is refused', (change, path, what) => {
    const json = { ...FULL, ...change };
    const read = readRig(path === 'id' ? { name: FULL.name, unit: FULL.unit } : json, 'rig.json');
    expect(read).toMatchObject({ ok: false, problem: { where: `rig.json, ${path}`, what } });
  });

  it('says what may stand instead', () => {
    expect(readRig({ ...FULL, unit: 'bar' }, 'rig.json')).toMatchObject({
      problem: { repair: 'Use one of "psi", "kPa".' },
    });
  });

  it('say how coarse a dial may be', () => {
    const at = (value: number, unit: string) =>
      readRig({ ...FULL, resolution: { primary: { value, unit } } }, 'rig.json');
    expect([at(10, 'psi').ok, at(50, 'kPa').ok]).toEqual([true, true]);
    expect(at(11, 'psi')).toMatchObject({ problem: { repair: 'Use at most 10.' } });
  });

  it('that are no object are refused as a whole', () => {
    expect(readRig(7, 'rig.json')).toMatchObject({ ok: false, problem: { where: 'rig.json' } });
  });
});
