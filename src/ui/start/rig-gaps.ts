import type { RigSettings } from '../../judging/result.ts';

/** What the results of a check will lack on this rig, and which setting would allow it; nothing when all is filled in. */
export function rigGaps({ reservoirs, requiredReservoirs, compressorDisplacement }: RigSettings): readonly string[] {
  const { supply, primary, secondary } = reservoirs ?? {};
  const service = primary !== undefined && secondary !== undefined;
  const all = service && supply !== undefined;
  const gaps = [
    service ? '' : 'The air that leaks, in litres a minute: needs the primary and secondary reservoirs.',
    all ? '' : 'The air that the compressor delivers: needs all three reservoirs.',
    all && requiredReservoirs !== undefined
      ? ''
      : 'A build-up time corrected for larger tanks: needs all three reservoirs and the required volume.',
    all && compressorDisplacement !== undefined
      ? ''
      : 'How strong the compressor still is: needs all three reservoirs and its displacement.',
  ];
  return gaps.filter((line) => line !== '');
}
