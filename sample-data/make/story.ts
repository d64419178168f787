/**
 * What happens in ten years to this operator's earths, and what goes wrong on its sheets. Every event is picked by hand and
 * named by electrode and date; a sheet event falls on the electrode's first test on or after its day.
 */
import type { Condition, Outcome } from '../../shared-lib/survey/survey.ts'
import type { Work } from '../../shared-lib/survey/register.ts'

/** Something that changes the earth itself from a day on, until it is mended or for good. */
export interface EarthEvent {
  kind: 'corrosion' | 'broken-conductor' | 'open-earth'
  electrodeId: string
  from: string
  until?: string
  /** Broken conductor: factor on the resistance. Corrosion: ln(R) gained per year squared. Open earth: unused. */
  strength: number
}

export const EARTH_EVENTS: readonly EarthEvent[] = [
  { kind: 'corrosion', electrodeId: 'DEMO-ARN-08', from: '2020-02-01', until: '2024-06-12', strength: 0.026 },
  { kind: 'corrosion', electrodeId: 'DEMO-DUN-05', from: '2022-10-01', strength: 0.03 },
  { kind: 'corrosion', electrodeId: 'DEMO-COR-10', from: '2023-06-01', strength: 0.05 },
  { kind: 'corrosion', electrodeId: 'DEMO-ESK-02', from: '2018-06-01', until: '2021-11-15', strength: 0.035 },
  { kind: 'broken-conductor', electrodeId: 'DEMO-BEL-05', from: '2021-05-10', until: '2022-03-21', strength: 2.4 },
  { kind: 'broken-conductor', electrodeId: 'DEMO-GOR-02', from: '2024-11-03', until: '2025-10-07', strength: 1.8 },
  { kind: 'broken-conductor', electrodeId: 'DEMO-HAT-13', from: '2026-05-02', strength: 2.9 },
  { kind: 'broken-conductor', electrodeId: 'DEMO-JOR-06', from: '2023-12-01', until: '2024-08-02', strength: 2.1 },
  { kind: 'open-earth', electrodeId: 'DEMO-DUN-10', from: '2025-11-20', until: '2026-04-16', strength: 0 },
  { kind: 'open-earth', electrodeId: 'DEMO-COR-03', from: '2022-02-14', until: '2022-06-21', strength: 0 },
]

/** Work on an electrode. `logStep` is what it does to ln(R) for good; mended damage ends by the event's own `until`. */
export interface DemoWork extends Work {
  logStep: number
  /** Tested again that many days later, as `after-repair`, with the survey's `event` filled in; absent: works table only. */
  retestDays?: number
}

export const WORKS: readonly DemoWork[] = [
  { electrodeId: 'DEMO-ARN-08', doneOn: '2024-06-12', what: 'repaired', logStep: -0.02, retestDays: 6, notes: 'two corroded clamps renewed' },
  { electrodeId: 'DEMO-ESK-02', doneOn: '2021-11-15', what: 'repaired', logStep: 0, retestDays: 9, notes: '6 m of wire renewed' },
  { electrodeId: 'DEMO-BEL-05', doneOn: '2022-03-21', what: 'repaired', logStep: 0, retestDays: 4, notes: 'tape between rods 1 and 2 was torn; new joint' },
  { electrodeId: 'DEMO-GOR-02', doneOn: '2025-10-07', what: 'repaired', logStep: 0.01, notes: 'ring closed again' },
  { electrodeId: 'DEMO-JOR-06', doneOn: '2024-08-02', what: 'repaired', logStep: 0, retestDays: 12 },
  { electrodeId: 'DEMO-DUN-10', doneOn: '2026-04-16', what: 'replaced', logStep: -0.08, retestDays: 5, notes: 'down conductor found cut through' },
  { electrodeId: 'DEMO-COR-03', doneOn: '2022-06-21', what: 'repaired', logStep: 0, retestDays: 3 },
  { electrodeId: 'DEMO-HAT-09', doneOn: '2021-06-14', what: 'extended', logStep: -0.45, retestDays: 8, notes: 'second length coupled on' },
  { electrodeId: 'DEMO-FEN-04', doneOn: '2022-09-19', what: 'disturbed', logStep: 0.12, notes: 'track widened beside the support' },
  { electrodeId: 'DEMO-BEL-11', doneOn: '2023-04-03', what: 'extended', logStep: -0.35, retestDays: 10, notes: 'second wire laid for the new limit' },
  { electrodeId: 'DEMO-ESK-07', doneOn: '2024-12-09', what: 'stolen', logStep: 0, notes: 'conductor cut off at ground level' },
  { electrodeId: 'DEMO-ESK-07', doneOn: '2025-05-12', what: 'replaced', logStep: -0.05, retestDays: 7 },
]

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
  { kind: 'repeated-sheet', electrodeId: 'DEMO-HAT-07', on: '2020-09-01' },
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
  { kind: 'link-not-closed', electrodeId: 'DEMO-BEL-07', on: '2026-08-01', record: 'empty' },
  { kind: 'link-not-closed', electrodeId: 'DEMO-ARN-05', on: '2020-05-01', record: 'still-open' },
  { kind: 'readings-out-of-order', electrodeId: 'DEMO-GOR-07', on: '2023-08-01' },
  { kind: 'readings-out-of-order', electrodeId: 'DEMO-FEN-06', on: '2021-06-01' },
  { kind: 'bad-set-up', electrodeId: 'DEMO-ARN-06', on: '2025-05-01', condition: 'interference', all: false },
  { kind: 'bad-set-up', electrodeId: 'DEMO-HAT-11', on: '2019-09-01', condition: 'auxiliary-h', all: true, retestDays: 8 },
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
  { electrodeId: 'DEMO-ARN-04', on: '2018-05-01', outcome: 'no-outage', notes: 'outage withdrawn that morning' },
  { electrodeId: 'DEMO-ARN-11', on: '2022-11-01', outcome: 'no-outage', notes: 'transformer could not be released' },
  { electrodeId: 'DEMO-BEL-02', on: '2020-02-01', outcome: 'no-access', notes: 'gate lock changed, no key' },
  { electrodeId: 'DEMO-BEL-12', on: '2023-08-01', outcome: 'unsafe', notes: 'thunder in the distance; left the leads, went to the vehicle' },
  { electrodeId: 'DEMO-COR-05', on: '2021-06-01', outcome: 'unsafe', notes: 'air in the pit not fit to breathe' },
  { electrodeId: 'DEMO-COR-06', on: '2024-12-01', outcome: 'link-seized', notes: 'bolt rounded; needs a new link' },
  { electrodeId: 'DEMO-DUN-01', on: '2024-01-01', outcome: 'link-seized', notes: 'did not force it' },
  { electrodeId: 'DEMO-ESK-03', on: '2022-09-01', outcome: 'no-room', notes: 'new panels where the line ran' },
  { electrodeId: 'DEMO-ESK-07', on: '2025-03-01', outcome: 'not-found', notes: 'conductor gone at ground level' },
  { electrodeId: 'DEMO-FEN-08', on: '2020-06-01', outcome: 'no-access', notes: 'track flooded' },
  { electrodeId: 'DEMO-FEN-11', on: '2024-06-01', outcome: 'not-found', notes: 'marker overgrown, searched 40 minutes' },
  { electrodeId: 'DEMO-GOR-08', on: '2018-02-01', outcome: 'no-access', notes: 'snow on the road' },
  { electrodeId: 'DEMO-HAT-14', on: '2025-09-01', outcome: 'no-room', notes: 'market stalls on the green' },
  { electrodeId: 'DEMO-ILV-03', on: '2019-10-01', outcome: 'no-access', notes: 'crane over the pit' },
  { electrodeId: 'DEMO-JOR-07', on: '2021-05-01', outcome: 'unsafe', notes: 'ice falling from the blades' },
]
