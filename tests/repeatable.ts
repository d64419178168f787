import fc from 'fast-check'
import { SEED } from './faults/measured.ts'

/** A change is judged by the same cases as the one before it; the full sizes (`npm run test:faults`, `test:fuzz`) try new ones each time. */
fc.configureGlobal({ seed: SEED })
