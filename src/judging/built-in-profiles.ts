import type { LimitProfile } from './profile.ts';
import firePractice from './profiles/fire-practice.json';
import usCdlSingle from './profiles/us-cdl-single.json';
import usCdlInspection from './profiles/us-cdl-inspection.json';
import usFmvss121 from './profiles/us-fmvss-121.json';
import us570InUse from './profiles/us-570-in-use.json';
import usNevada from './profiles/us-nevada.json';
import nfpa19112007 from './profiles/nfpa-1911-2007.json';
import californiaCdl from './profiles/california-cdl.json';
import canadaBc from './profiles/canada-bc.json';
import canadaAlberta from './profiles/canada-alberta.json';
import canadaOntario from './profiles/canada-ontario.json';
import canadaQuebec from './profiles/canada-quebec.json';
import canadaSaskatchewan from './profiles/canada-saskatchewan.json';
import nz from './profiles/nz.json';
import auWa from './profiles/au-wa.json';
import auInspection from './profiles/au-inspection.json';
import { withVariants } from './profile-variants.ts';
import { readProfile } from './read-profile.ts';

/** The profiles that come with the app, the default first, each followed by its variants. Every value carries its source and how sure it is. */
export const BUILT_IN_PROFILES: readonly LimitProfile[] = [
  firePractice,
  usCdlSingle,
  usCdlInspection,
  usFmvss121,
  us570InUse,
  nfpa19112007,
  californiaCdl,
  usNevada,
  canadaBc,
  canadaAlberta,
  canadaOntario,
  canadaQuebec,
  canadaSaskatchewan,
  nz,
  auWa,
  auInspection,
].flatMap((file) =>
  withVariants(file).map((json) => {
    const read = readProfile(json, file.id);
    if (!read.ok) throw new Error(`built-in profile ${file.id}: ${read.problem.where ?? ''} ${read.problem.what}`);
    return read.value;
  }),
);
