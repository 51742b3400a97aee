import fc from 'fast-check';
import { seedOfRun } from './seed.ts';

fc.configureGlobal({ seed: seedOfRun() });
