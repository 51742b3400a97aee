import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { HANDS_OFF } from '../../../src/airsystem/controls.ts';
import type { PressureUnit } from '../../../src/units/pressure.ts';
import { CAB_KEYS, controlOfKey, movementOf } from '../../../src/ui/rehearse/cab-keys.ts';
import { FACES, angleOf, marksOf, pointAt, readOff } from '../../../src/ui/rehearse/dial.ts';
import { lastChoice } from '../../../src/ui/rehearse/rehearsal-choice.ts';
import { ScenarioShelf } from '../../../src/ui/rehearse/scenario-shelf.ts';
import { shortcutFor } from '../../../src/ui/check/shortcuts.ts';
import type { SmallStore } from '../../../src/running/settings.ts';

function small(values: Record<string, unknown> = {}): SmallStore {
  const kept = new Map(Object.entries(values));
  return { get: (name) => kept.get(name), set: (name, value) => void kept.set(name, structuredClone(value)) };
}

describe('a dial', () => {
  it('turns the needle clockwise and evenly, upright in the middle, and stops it at both ends', () => {
    for (const unit of ['psi', 'kPa'] as PressureUnit[]) {
      const face = FACES[unit];
      expect(angleOf(face.max / 2, face)).toBe(0);
      expect([angleOf(-5, face), angleOf(face.max * 2, face)]).toEqual([angleOf(0, face), angleOf(face.max, face)]);
      const value = fc.double({ min: 0, max: face.max, noNaN: true });
      fc.assert(
        fc.property(value, value, (one, other) => {
          const turned = angleOf(one, face) - angleOf(other, face);
          expect(turned).toBeCloseTo(((one - other) / face.max) * (angleOf(face.max, face) - angleOf(0, face)), 6);
        }),
      );
    }
  });

  it('has its numbers where the needle points for them', () => {
    const right = pointAt(90, 10);
    expect(right.x).toBeCloseTo(10, 9);
    expect(right.y).toBeCloseTo(0, 9);
    const numbers = marksOf(FACES.psi).filter(({ kind }) => kind === 'number');
    expect(numbers.map(({ value }) => value)).toEqual([0, 20, 40, 60, 80, 100, 120, 140, 160]);
  });

  it('is read to its nearest mark, in its own unit', () => {
    expect(readOff(104.4, 'psi', 1)).toBe(104);
    // 100 psi are 689.476 kPa (1 psi = 6894.757 Pa, NIST SP 811).
    expect(readOff(100, 'kPa', 10)).toBe(690);
  });
});

describe('the keys of the cab', () => {
  it('are none of those of the Check screen', () => {
    const model = { cues: [], question: { kind: 'stop' }, paused: false } as never;
    for (const { key } of CAB_KEYS) {
      expect(shortcutFor({ key: key.toLowerCase(), code: `Key${key}`, shiftKey: false }, model), key).toBeUndefined();
      expect(controlOfKey(key.toLowerCase())).toBe(controlOfKey(key));
    }
  });

  it('undo what they did', () => {
    const idle = { parkingOut: true, fanning: false };
    const running = { ...HANDS_OFF, ignition: true, engine: true };
    expect(movementOf('engine', HANDS_OFF, idle).set).toEqual({ ignition: true, engine: true });
    expect(movementOf('engine', running, idle).set).toEqual({ engine: false });
    expect(movementOf('key', running, idle).set).toEqual({ ignition: false, engine: false });
    expect(movementOf('parking', running, idle).set).toEqual({ parking: 'push' });
    expect(movementOf('parking', running, { ...idle, parkingOut: false }).set).toEqual({ parking: 'pull' });
    expect(movementOf('fan', running, { ...idle, fanning: true })).toMatchObject({ fan: false });
  });
});

describe('the scenarios of a device', () => {
  const own = { ...new ScenarioShelf(small()).builtIn[0]!.scenarios[0]!, id: 'ours', title: 'Ours' };

  it('keeps what was imported, and gives it back on the next visit', () => {
    const store = small();
    expect(new ScenarioShelf(store).add(JSON.stringify(own), 'ours.json').ok).toBe(true);
    expect(new ScenarioShelf(store).own.map(({ id }) => id)).toEqual(['ours']);
    new ScenarioShelf(store).remove('ours');
    expect(new ScenarioShelf(store).own).toEqual([]);
  });

  it('refuses with path and reason, and keeps nothing of it', () => {
    const shelf = new ScenarioShelf(small());
    const wrong = shelf.add(JSON.stringify({ ...own, startPsi: { primary: 900, secondary: 75 } }), 'ours.json');
    expect(wrong.ok ? '' : wrong.problem.what).toBe('startPsi.primary must be from 0 to 145 psi.');
    expect(wrong.ok ? '' : wrong.problem.where).toBe('ours.json, startPsi.primary');
    expect(shelf.add('{', 'ours.json').ok).toBe(false);
    expect(shelf.own).toEqual([]);
  });

  it('passes over what another build kept and this one cannot read', () => {
    expect(new ScenarioShelf(small({ scenarios: [{ format: 'later' }, own] })).own.map(({ id }) => id)).toEqual([
      'ours',
    ]);
    expect(new ScenarioShelf(small({ scenarios: 'spoilt' })).own).toEqual([]);
  });
});

describe('the last choice', () => {
  it('is as for a first visit where it is missing or spoilt', () => {
    const first = lastChoice(small());
    expect(first).toMatchObject({ trainee: '', level: 'told', cuesMove: true });
    expect(lastChoice(small({ rehearsal: { level: 'shouted', trainee: 7 } }))).toEqual(first);
    expect(lastChoice(small({ rehearsal: { level: 'silent', trainee: 'P. Serrano' } }))).toMatchObject({
      level: 'silent',
    });
  });
});
