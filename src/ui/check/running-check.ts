/** What only a check that runs needs: fetched as soon as the first screen is there, so that it does not wait for it. */
import './check-screen.ts';
export { givenUpHead } from '../../running/head-of.ts';
export { LiveCheck } from '../../running/live-check.ts';
