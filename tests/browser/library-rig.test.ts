import { afterEach, describe, expect, it } from 'vitest';
import { userEvent } from 'vitest/browser';
import type { RigSettings } from '../../src/judging/result.ts';
import type { RigForm } from '../../src/ui/start/rig-form.ts';
import { Bench, find, mount, press, settle, until } from './support/parts.ts';

afterEach(() => document.body.replaceChildren());

async function fill(name: string, text: string): Promise<void> {
  await userEvent.fill(await until(() => find<HTMLInputElement>(`input[name=${name}]`), name), text);
  await settle();
}

function gaps(): string[] {
  return [...(find<RigForm>('tn-rig-form')?.shadowRoot?.querySelectorAll('.gaps li') ?? [])].map((line) =>
    line.textContent.trim(),
  );
}

describe('the form of a rig', () => {
  it('keeps what the results use, and says what they lack without it', async () => {
    const bench = new Bench();
    await mount(await bench.parts());
    await press(/^Edit Ladder 36$/);
    await until(() => gaps().length === 4, 'what it lacks');
    for (const [name, text] of [
      ['supply', '0'],
      ['primary', '45.5'],
      ['secondary', '45.5'],
    ] as const)
      await fill(name, text);
    expect(gaps()).toHaveLength(2);
    await fill('required', '80');
    await fill('displacement', '430');
    expect(gaps()).toEqual([]);
    await fill('primaryStep', '2');
    await press('Save the rig');
    const rigs = bench.stored.get('rigs') as RigSettings[];
    expect(rigs.find(({ id }) => id === 'ladder-36')).toEqual({
      id: 'ladder-36',
      name: 'Ladder 36',
      unit: 'psi',
      resolution: { primary: { value: 2, unit: 'psi' }, secondary: { value: 1, unit: 'psi' } },
      reservoirs: { supply: 0, primary: 45.5, secondary: 45.5 },
      requiredReservoirs: 80,
      compressorDisplacement: 430,
      fitted: { handValve: false, fastIdle: true, trailer: false },
    });
  });

  it('reads dials of another unit by their own marks, and leaves out what is empty', async () => {
    const bench = new Bench();
    await mount(await bench.parts());
    await press('Add a rig');
    await fill('name', 'Tender 34 B');
    await userEvent.selectOptions(await until(() => find('select[name=unit]'), 'the unit'), 'kPa');
    await fill('secondaryStep', '');
    await press('Save the rig');
    const rig = (bench.stored.get('rigs') as RigSettings[]).at(-1);
    expect(rig).toMatchObject({ name: 'Tender 34 B', unit: 'kPa', reservoirs: {} });
    expect(rig?.resolution).toEqual({ primary: { value: 10, unit: 'kPa' } });
    expect(rig?.requiredReservoirs).toBeUndefined();
  });

  it('keeps plan, limits and units of a rig, which are there when it is chosen', async () => {
    const bench = new Bench();
    const parts = await bench.parts();
    await mount({ ...parts, plans: [...parts.plans, { ...parts.plans[0]!, id: 'morning', title: 'Morning' }] });
    await press(/^Edit Tender 34$/);
    const choose = async (name: string, value: string): Promise<void> => {
      await userEvent.selectOptions(
        await until(() => find(`tn-rig-form`)?.shadowRoot?.querySelector(`select[name=${name}]`), name),
        value,
      );
      await settle();
    };
    await fill('primary', '50');
    await choose('volumes', 'gal');
    expect(find<RigForm>('tn-rig-form')?.renderRoot.querySelector<HTMLInputElement>('[name=primary]')?.value).toBe(
      '13.209',
    );
    await choose('planId', 'morning');
    await choose('profileId', 'nz');
    await press('Save the rig');
    const tender = (): RigSettings | undefined =>
      (bench.stored.get('rigs') as RigSettings[]).find(({ id }) => id === 'tender-34');
    expect(tender()?.reservoirs?.primary).toBeCloseTo(50, 2);
    const chosen = (name: string) => find<HTMLSelectElement>(`select[name=${name}]`)?.value;
    await userEvent.selectOptions(await until(() => find('select[name=plan]'), 'plans'), 'full-cab-check');
    find<HTMLInputElement>('input[value=engine-31]')!.click();
    await settle();
    expect(chosen('plan')).toBe('full-cab-check');
    find<HTMLInputElement>('input[value=tender-34]')!.click();
    await settle();
    expect([chosen('plan'), chosen('profile')]).toEqual(['morning', 'nz']);
  });
});
