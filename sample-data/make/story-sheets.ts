/**
 * What goes wrong on this operator's sheets, and the tests that could not be made. Every event is picked by hand; it falls on the
 * electrode's first test on or after its day.
 */
import type { Condition, Outcome } from '../../shared-lib/survey/survey.ts'

/** Something wrong with one sheet, or with the set-up of one test. */
export type SheetEvent = {
  electrodeId: string
  on: string
  /** The crew comes back that many days later and the second sheet is sound. */
  retestDays?: number
} & (
  | { kind: 'slipped-decimal'; factor: 10 | 0.1; onlyOne?: boolean }
  | { kind: 'unit-slip'; factor: 1000 | 0.001 }
  | { kind: 'repeated-sheet' }
  | { kind: 'wrong-electrode'; takenAt: string }
  | { kind: 'parallel-path'; factor: number }
  | { kind: 'close-current-probe'; times: number }
  | { kind: 'link-not-closed'; record: 'still-open' | 'empty' }
  | { kind: 'readings-out-of-order' }
  | { kind: 'bad-set-up'; condition: Condition; all: boolean }
)

export const SHEET_EVENTS: readonly SheetEvent[] = [
  { kind: 'slipped-decimal', electrodeId: 'DEMO-ARN-09', on: '2019-05-01', factor: 10, retestDays: 13 },
  { kind: 'slipped-decimal', electrodeId: 'DEMO-HAT-04', on: '2022-03-01', factor: 0.1 },
  { kind: 'slipped-decimal', electrodeId: 'DEMO-COR-11', on: '2024-06-01', factor: 10, onlyOne: true },
  { kind: 'slipped-decimal', electrodeId: 'DEMO-ILV-06', on: '2021-04-01', factor: 10 },
  { kind: 'slipped-decimal', electrodeId: 'DEMO-DUN-07', on: '2026-05-01', factor: 0.1, retestDays: 12 },
  { kind: 'unit-slip', electrodeId: 'DEMO-ARN-03', on: '2021-11-01', factor: 1000 },
  { kind: 'unit-slip', electrodeId: 'DEMO-ILV-08', on: '2023-04-01', factor: 1000 },
  { kind: 'unit-slip', electrodeId: 'DEMO-GOR-04', on: '2019-08-01', factor: 0.001, retestDays: 10 },
  { kind: 'repeated-sheet', electrodeId: 'DEMO-HAT-07', on: '2023-03-01' },
  { kind: 'repeated-sheet', electrodeId: 'DEMO-BEL-06', on: '2024-08-01' },
  { kind: 'repeated-sheet', electrodeId: 'DEMO-DUN-02', on: '2021-06-01' },
  { kind: 'repeated-sheet', electrodeId: 'DEMO-JOR-02', on: '2025-05-01' },
  { kind: 'wrong-electrode', electrodeId: 'DEMO-HAT-03', on: '2024-09-01', takenAt: 'DEMO-HAT-08' },
  { kind: 'wrong-electrode', electrodeId: 'DEMO-HAT-08', on: '2024-09-01', takenAt: 'DEMO-HAT-03' },
  { kind: 'wrong-electrode', electrodeId: 'DEMO-DUN-06', on: '2019-05-01', takenAt: 'DEMO-DUN-09' },
  { kind: 'wrong-electrode', electrodeId: 'DEMO-DUN-09', on: '2019-05-01', takenAt: 'DEMO-DUN-06' },
  { kind: 'parallel-path', electrodeId: 'DEMO-ARN-07', on: '2023-05-01', factor: 0.17, retestDays: 14 },
  { kind: 'parallel-path', electrodeId: 'DEMO-BEL-08', on: '2019-08-01', factor: 0.3 },
  { kind: 'parallel-path', electrodeId: 'DEMO-COR-04', on: '2025-06-01', factor: 0.24 },
  { kind: 'parallel-path', electrodeId: 'DEMO-COR-04', on: '2025-12-01', factor: 0.25 },
  { kind: 'parallel-path', electrodeId: 'DEMO-ESK-06', on: '2026-03-01', factor: 0.35 },
  { kind: 'close-current-probe', electrodeId: 'DEMO-ARN-10', on: '2022-05-01', times: 1.8, retestDays: 9 },
  { kind: 'close-current-probe', electrodeId: 'DEMO-HAT-01', on: '2018-09-01', times: 2 },
  { kind: 'close-current-probe', electrodeId: 'DEMO-COR-01', on: '2020-12-01', times: 2.1 },
  { kind: 'close-current-probe', electrodeId: 'DEMO-BEL-01', on: '2025-08-01', times: 1.7 },
  { kind: 'close-current-probe', electrodeId: 'DEMO-JOR-01', on: '2022-05-01', times: 1.6 },
  { kind: 'link-not-closed', electrodeId: 'DEMO-DUN-03', on: '2023-08-01', record: 'still-open' },
  { kind: 'link-not-closed', electrodeId: 'DEMO-BEL-03', on: '2026-08-01', record: 'empty' },
  { kind: 'link-not-closed', electrodeId: 'DEMO-ARN-05', on: '2020-05-01', record: 'still-open' },
  { kind: 'readings-out-of-order', electrodeId: 'DEMO-GOR-07', on: '2023-08-01' },
  { kind: 'readings-out-of-order', electrodeId: 'DEMO-FEN-06', on: '2021-06-01' },
  { kind: 'bad-set-up', electrodeId: 'DEMO-ARN-06', on: '2025-05-01', condition: 'interference', all: false },
  {
    kind: 'bad-set-up',
    electrodeId: 'DEMO-HAT-11',
    on: '2019-09-01',
    condition: 'auxiliary-h',
    all: true,
    retestDays: 8,
  },
  { kind: 'bad-set-up', electrodeId: 'DEMO-DUN-11', on: '2022-08-01', condition: 'auxiliary-s', all: false },
]

/** A test that could not be made. */
export interface NotMade {
  electrodeId: string
  on: string
  outcome: Exclude<Outcome, 'tested'>
  notes: string
}

export const NOT_MADE: readonly NotMade[] = [
  {
    electrodeId: 'DEMO-ARN-04',
    on: '2018-05-01',
    outcome: 'no-outage',
    notes: 'outage withdrawn that morning',
  },
  {
    electrodeId: 'DEMO-ARN-11',
    on: '2022-11-01',
    outcome: 'no-outage',
    notes: 'transformer could not be released',
  },
  { electrodeId: 'DEMO-BEL-02', on: '2020-02-01', outcome: 'no-access', notes: 'gate lock changed, no key' },
  {
    electrodeId: 'DEMO-BEL-12',
    on: '2023-08-01',
    outcome: 'unsafe',
    notes: 'thunder in the distance; left the leads, went to the vehicle',
  },
  {
    electrodeId: 'DEMO-COR-05',
    on: '2021-06-01',
    outcome: 'unsafe',
    notes: 'air in the pit not fit to breathe',
  },
  {
    electrodeId: 'DEMO-COR-06',
    on: '2024-12-01',
    outcome: 'link-seized',
    notes: 'bolt rounded; needs a new link',
  },
  { electrodeId: 'DEMO-DUN-01', on: '2024-01-01', outcome: 'link-seized', notes: 'did not force it' },
  {
    electrodeId: 'DEMO-ESK-03',
    on: '2022-09-01',
    outcome: 'no-room',
    notes: 'new panels where the line ran',
  },
  {
    electrodeId: 'DEMO-ESK-07',
    on: '2025-03-01',
    outcome: 'not-found',
    notes: 'conductor gone at ground level',
  },
  { electrodeId: 'DEMO-FEN-08', on: '2020-06-01', outcome: 'no-access', notes: 'track flooded' },
  {
    electrodeId: 'DEMO-FEN-11',
    on: '2024-06-01',
    outcome: 'not-found',
    notes: 'marker overgrown, searched 40 minutes',
  },
  { electrodeId: 'DEMO-GOR-08', on: '2018-02-01', outcome: 'no-access', notes: 'snow on the road' },
  { electrodeId: 'DEMO-HAT-14', on: '2025-09-01', outcome: 'no-room', notes: 'market stalls on the green' },
  { electrodeId: 'DEMO-ILV-03', on: '2019-10-01', outcome: 'no-access', notes: 'crane over the pit' },
  { electrodeId: 'DEMO-JOR-07', on: '2021-05-01', outcome: 'unsafe', notes: 'ice falling from the blades' },
]
