import { afterEach, describe, expect, it } from 'vitest';
import type { CheckHead } from '../../src/record/record-store.ts';
import { memoryStore } from '../../src/record/memory-store.ts';
import { Bench, chained, find, mount, press, until } from './support/parts.ts';

afterEach(() => {
  document.body.replaceChildren();
  location.hash = '';
});

describe('an examination on the screen', () => {
  it('shows no outcome before the end, keeps remarks with their moment, and is signed by both', async () => {
    const store = await chained(memoryStore());
    await mount(await new Bench().parts({ store }));
    const box = await until(() => find<HTMLInputElement>('input[name=examination]'), 'the choice');
    box.checked = true;
    await press('Start the check');
    const screen = await until(() => find('tn-exam-screen')?.shadowRoot, 'the examination');
    const text = await until(() => screen.querySelector<HTMLInputElement>('input[name=text]'), 'the remark');
    text.value = 'looked away';
    await press('Put down');
    await until(() => screen.textContent.includes('looked away'), 'the remark put down');
    expect(find('tn-verdict-card')).toBeUndefined();
    await press('End the examination');
    await press('Yes, end it');
    const end = await until(() => find('tn-exam-end')?.shadowRoot, 'the end');
    for (const role of ['candidate', 'examiner']) {
      const form = [...end.querySelectorAll('form')].find((each) => each.textContent.toLowerCase().includes(role))!;
      form.querySelector('input')!.value = 'P. Serrano';
      form.requestSubmit();
      await until(() => end.textContent.includes(`Signed by the ${role}`), `the signature of the ${role}`);
    }
    const [head] = await store.heads();
    const events = (await store.log(head!.id))!.entries.map(({ event }) => event);
    expect(events).toContainEqual(expect.objectContaining({ type: 'examiner', text: 'looked away' }));
    expect(events.flatMap((event) => (event.type === 'countersigned' ? [event.as] : []))).toEqual([
      'candidate',
      'examiner',
    ]);
  });
});

describe('the review of the last report', () => {
  it('comes before a check of a rig with open defects where the limits ask for it, is signed, and is kept with the start', async () => {
    const store = await chained(memoryStore());
    const before: CheckHead = {
      ...{ id: 'c0', startedAt: '2026-03-01T07:00:00.000Z', rigId: 'engine-31', rigName: 'Engine 31' },
      ...{ operator: 'A. Okafor', planTitle: 'Whole pre-trip', state: 'finished', verdict: 'fail' },
      steps: [
        {
          ...{ id: 'cab', title: 'Cab', verdict: 'fail', figures: [] },
          defects: [{ item: 'horn', title: 'Horn', words: 'inoperative', class: 'report' }],
        },
      ],
    };
    await store.begin(before);
    await store.close(before);
    await mount(await new Bench().parts({ store }));
    const limits = await until(() => find<HTMLSelectElement>('select[name=profile]'), 'the limits');
    const rig = find<HTMLSelectElement>('select[name=rig]');
    if (rig !== undefined) rig.value = 'engine-31';
    limits.value = 'us-cdl-single';
    await press('Start the check');
    const review = await until(() => find('tn-review-screen')?.shadowRoot, 'the review');
    expect(review.textContent).toContain('49 CFR 396.13');
    await press('Sign and begin the check');
    await until(() => review.textContent.includes('Nothing is said of this defect'), 'what is missing');
    review.querySelector<HTMLInputElement>('input[value="still there"]')!.checked = true;
    review.querySelector<HTMLInputElement>('input[name=driver]')!.value = 'A. Okafor';
    await press('Sign and begin the check');
    await until(() => find('tn-check-screen'), 'the check');
    const head = (await store.heads()).find(({ id }) => id !== 'c0');
    expect((await store.events(head!.id))[0]).toMatchObject({
      review: { driver: 'A. Okafor', defects: [{ item: 'horn', check: 'c0', found: 'still there' }] },
    });
  });
});
