import * as v from 'valibot';

const text = v.string();
const time = v.number();
const key = v.strictObject({ kty: v.literal('EC'), crv: v.literal('P-256'), x: text, y: text });
const own = v.looseObject({ key, made: text, replaces: v.exactOptional(text), signature: text });
const officer = { officer: text, wall: text, key, own: v.exactOptional(own) };
const pressure = v.looseObject({ value: v.number(), unit: v.picklist(['psi', 'kPa']) });
const reading = v.looseObject({ primary: v.exactOptional(pressure), secondary: v.exactOptional(pressure) });

/** As much of each event as is shown or exported without being replayed. */
const EVENTS = [
  v.looseObject({
    type: v.literal('start'),
    at: time,
    wall: text,
    operator: text,
    plan: v.looseObject({ id: text, title: text, steps: v.array(v.looseObject({ id: text, title: text })) }),
    profile: v.looseObject({ id: text, title: text }),
    rig: v.looseObject({ id: text, name: text }),
  }),
  v.looseObject({
    type: v.literal('callout'),
    at: time,
    end: time,
    heard: text,
    confidence: v.number(),
    source: text,
    meaning: v.exactOptional(v.looseObject({ cues: v.array(text), reading: v.exactOptional(reading) })),
    clip: v.exactOptional(text),
    clipDigest: v.exactOptional(text),
  }),
  v.looseObject({ type: v.picklist(['time', 'end']), at: time }),
  v.looseObject({ type: v.literal('engine-restarted'), at: time, engine: text }),
  v.looseObject({ type: v.literal('sound'), at: time, kind: text }),
  v.looseObject({
    type: v.literal('examiner'),
    at: time,
    text: v.exactOptional(text),
    limit: v.exactOptional(v.looseObject({ part: text, stated: v.boolean() })),
    mark: v.exactOptional(v.looseObject({ part: text, state: text })),
  }),
  v.looseObject({ type: v.literal('photo'), at: time, item: text, clip: text, clipDigest: v.exactOptional(text) }),
  v.looseObject({ type: v.literal('photo-back'), at: time, clip: text }),
  v.looseObject({ type: v.literal('interrupted'), at: time, why: text }),
  v.looseObject({ type: v.literal('resumed'), at: time, wall: text }),
  v.looseObject({
    type: v.literal('seal'),
    count: v.number(),
    head: text,
    wall: text,
    number: v.exactOptional(v.number()),
    last: v.exactOptional(text),
  }),
  v.looseObject({ type: v.literal('remark'), text, repair: v.exactOptional(text), ...officer }),
  v.looseObject({ type: v.literal('countersigned'), ...officer }),
] as const;

const event = v.variant('type', EVENTS);

/** True for an event of a kind, and with the members, that this version knows. */
export function isKnownEvent(value: unknown): boolean {
  return v.is(event, value);
}

export const publicKey = key;
