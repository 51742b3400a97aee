import type { LimitProfile } from './profile.ts';
import firePractice from './profiles/fire-practice.json';
import usCdlSingle from './profiles/us-cdl-single.json';
import usCdlCombination from './profiles/us-cdl-combination.json';
import usCdlInspection from './profiles/us-cdl-inspection.json';
import usFmvss121 from './profiles/us-fmvss-121.json';
import nfpa19112007 from './profiles/nfpa-1911-2007.json';
import californiaCdl from './profiles/california-cdl.json';
import californiaCdlTwoVehicles from './profiles/california-cdl-two-vehicles.json';
import californiaCdlThreeVehicles from './profiles/california-cdl-three-vehicles.json';
import canadaBc from './profiles/canada-bc.json';
import canadaAlberta from './profiles/canada-alberta.json';
import canadaOntario from './profiles/canada-ontario.json';
import canadaOntarioClassA from './profiles/canada-ontario-class-a.json';
import canadaQuebec from './profiles/canada-quebec.json';
import canadaQuebecTwoVehicles from './profiles/canada-quebec-two-vehicles.json';
import canadaQuebecThreeVehicles from './profiles/canada-quebec-three-vehicles.json';
import nz from './profiles/nz.json';
import auWa from './profiles/au-wa.json';
import { readProfile } from './read-profile.ts';

/** The profiles that come with the app, the default first. Every value carries its source and how sure it is. */
export const BUILT_IN_PROFILES: readonly LimitProfile[] = [
  firePractice,
  usCdlSingle,
  usCdlCombination,
  usCdlInspection,
  usFmvss121,
  nfpa19112007,
  californiaCdl,
  californiaCdlTwoVehicles,
  californiaCdlThreeVehicles,
  canadaBc,
  canadaAlberta,
  canadaOntario,
  canadaOntarioClassA,
  canadaQuebec,
  canadaQuebecTwoVehicles,
  canadaQuebecThreeVehicles,
  nz,
  auWa,
].map((json) => {
  const read = readProfile(json, json.id);
  if (!read.ok) throw new Error(`built-in profile ${json.id}: ${read.problem.where ?? ''} ${read.problem.what}`);
  return read.value;
});
