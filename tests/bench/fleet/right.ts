import type { FindingCode } from '../../../shared-lib/survey/finding.ts'
import type { Planted } from './truth.ts'

/** What explains quietly or speaks of limits: no alarm about the earth or the record. */
export const QUIET: ReadonlySet<FindingCode> = new Set<FindingCode>([
  'site-wide-shift',
  'after-recorded-work',
  'set-up-changed',
  'settling-in',
  'limit-exceeded',
  'limit-inconclusive',
  'limit-forecast',
  'out-of-calibration',
  'reading-unusable',
])

const DOWN: FindingCode[] = [
  'parallel-path-suspected',
  'step-fall',
  'improvement-unexplained',
  'not-isolated',
]
const BOUNDS: FindingCode[] = ['above-physical-ceiling', 'below-physical-floor']

/** The codes that name a planted event rightly. */
export const RIGHT: Record<Planted, readonly FindingCode[]> = {
  break: ['step-rise', 'corrosion-suspected', 'rising-drift'],
  parallel: DOWN,
  parallelOnce: DOWN,
  repair: ['improvement-unexplained', 'step-fall', 'parallel-path-suspected'],
  repairRecorded: [],
  corrosion: ['corrosion-suspected', 'rising-drift', 'step-rise', 'site-drift'],
  decimal: ['decimal-slip', 'implausible-for-electrode', ...BOUNDS],
  unit: ['unit-slip', 'implausible-for-electrode', ...BOUNDS],
  copied: ['repeated-readings'],
  wrongid: ['wrong-electrode'],
  tooclose: ['current-probe-too-close', 'readings-disagree', 'no-steady-position'],
  order: ['readings-out-of-order'],
  instrument: ['instrument-bias'],
}
