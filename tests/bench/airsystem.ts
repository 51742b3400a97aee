import { createAir, run } from '../../src/airsystem/air.ts';
import type { Controls } from '../../src/airsystem/controls.ts';
import { HANDS_OFF } from '../../src/airsystem/controls.ts';
import { DEMO_RIGS } from '../../src/airsystem/rig.ts';

/** How many times faster than real time each demo rig is simulated, on the clock and on the processor alone (a busy machine). One line each. */
const TARGET = 500;
const MINUTES = 60;

const running: Controls = { ...HANDS_OFF, ignition: true, engine: true, fastIdle: true };
/** Seven seconds of a cab at work: the pedal fanned 3 s on, 4 s off, with the compressor pumping and the spring brakes on air. */
const acts: readonly (readonly [Controls, number])[] = [
  [{ ...running, parking: 'push' }, 10],
  [{ ...running, pedalPsi: 150 }, 3000],
  [running, 3990],
];

for (const rig of Object.values(DEMO_RIGS)) {
  const simulate = (minutes: number): number => {
    let air = createAir(rig);
    while (air.at < minutes * 60_000) for (const [controls, ms] of acts) air = run(air, controls, air.at + ms);
    return air.at / 1000;
  };
  simulate(MINUTES / 4);
  const processor = process.cpuUsage();
  const begin = performance.now();
  const simulated = simulate(MINUTES);
  const wall = (performance.now() - begin) / 1000;
  const used = process.cpuUsage(processor).user / 1e6;
  const speed = (seconds: number): string => (simulated / seconds).toFixed(0);
  console.log(
    `air system of ${rig.name}: ${speed(wall)} times real time (${speed(used)} per processor second; target ${String(TARGET)})`,
  );
}
