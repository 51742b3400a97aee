import { afterEach, describe, expect, it } from 'vitest';
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
