import { expect, it } from 'vitest';
import { builtInPlans } from '../../src/check/built-in-plans.ts';
import { placesOf } from '../../src/check/places.ts';
import { cueIds } from '../../src/grammar/select.ts';
import { faultsOfItem } from '../../src/rehearsal/pre-trip/walk.ts';
import { loadGrammar } from '../support/grammar.ts';

const PLACES = placesOf(builtInPlans(new Set(cueIds(loadGrammar()))).find(({ id }) => id === 'whole-pre-trip')!);

/**
 * What a trainee is told of a drawn fault, against the published classes of the project's own list of standards, “The rest of the
 * pre-trip”: a minor defect of NSC 13 is reported, a failure of 49 CFR 396 Appendix A or a major defect is out of service. `M`: the class
 * is from memory there; the rest is practice.
 */
const PUBLISHED: readonly (readonly [item: string, way: string, is: 'out-of-service' | 'report', source: RegExp])[] = [
  ['oil', 'low', 'report', /National Safety Code Standard 13/],
  ['belts', 'frayed', 'report', /National Safety Code Standard 13/],
  ['compressor-belt', 'loose', 'out-of-service', /396, Appendix A/],
  ['air-lines', 'leaking', 'report', /National Safety Code Standard 13/],
  ['air-lines', 'worn-through', 'out-of-service', /396, Appendix A/],
  ['linkage', 'loose', 'out-of-service', /396, Appendix A/],
  ['steering-wheel', 'binding', 'out-of-service', /396, Appendix A/],
  ['left-front-brake', 'too-long', 'out-of-service', /396, Appendix A/],
  // 49 CFR 393.75: front below 4/32, other below 2/32.
  ['left-front-tire', 'value', 'out-of-service', /393\.75/],
  ['right-rear-tire', 'value', 'out-of-service', /393\.75/],
  ['frame', 'cracked', 'out-of-service', /./],
  ['seat-belts', 'will-not-latch', 'out-of-service', /./],
  ['fuel', 'dripping', 'out-of-service', /./],
  // M.
  ['left-rear-nuts', 'missing', 'out-of-service', /./],
  ['headlights', 'one-out', 'report', /./],
  ['headlights', 'both-out', 'out-of-service', /./],
  ['windshield', 'cracked', 'report', /./],
  ['triangles', 'missing', 'report', /./],
  // Common practice.
  ['fluid-leaks', 'class-two', 'report', /practice/],
  ['fluid-leaks', 'class-three', 'out-of-service', /practice/],
  ['warning-lights', 'more-out', 'out-of-service', /./],
];

it.each(PUBLISHED)('%s, %s: %s', (id, way, is, source) => {
  const place = PLACES.find(({ items }) => items.some((item) => item.id === id))!;
  const fault = faultsOfItem(
    place.items.find((item) => item.id === id)!,
    place,
  ).find((each) => each.way === way);
  expect(fault).toMatchObject({ class: is, place: place.id });
  expect(`${fault!.source.document} ${fault!.source.section ?? ''}`).toMatch(source);
});
