/**
 * What happens in ten years to this operator's earths. Every event is picked by hand and named by electrode and date; what goes
 * wrong on the sheets is in story-sheets.ts.
 */
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
  {
    kind: 'broken-conductor',
    electrodeId: 'DEMO-BEL-05',
    from: '2021-05-10',
    until: '2022-03-21',
    strength: 2.4,
  },
  {
    kind: 'broken-conductor',
    electrodeId: 'DEMO-GOR-02',
    from: '2024-11-03',
    until: '2025-10-07',
    strength: 1.8,
  },
  { kind: 'broken-conductor', electrodeId: 'DEMO-HAT-13', from: '2026-05-02', strength: 2.9 },
  {
    kind: 'broken-conductor',
    electrodeId: 'DEMO-JOR-06',
    from: '2023-12-01',
    until: '2024-08-02',
    strength: 2.1,
  },
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
  {
    electrodeId: 'DEMO-ARN-08',
    doneOn: '2024-06-12',
    what: 'repaired',
    logStep: -0.02,
    retestDays: 6,
    notes: 'two corroded clamps renewed',
  },
  {
    electrodeId: 'DEMO-ESK-02',
    doneOn: '2021-11-15',
    what: 'repaired',
    logStep: 0,
    retestDays: 9,
    notes: '6 m of wire renewed',
  },
  {
    electrodeId: 'DEMO-BEL-05',
    doneOn: '2022-03-21',
    what: 'repaired',
    logStep: 0,
    retestDays: 4,
    notes: 'tape between rods 1 and 2 was torn; new joint',
  },
  {
    electrodeId: 'DEMO-GOR-02',
    doneOn: '2025-10-07',
    what: 'repaired',
    logStep: 0.01,
    notes: 'ring closed again',
  },
  { electrodeId: 'DEMO-JOR-06', doneOn: '2024-08-02', what: 'repaired', logStep: 0, retestDays: 12 },
  {
    electrodeId: 'DEMO-DUN-10',
    doneOn: '2026-04-16',
    what: 'replaced',
    logStep: -0.08,
    retestDays: 5,
    notes: 'down conductor found cut through',
  },
  { electrodeId: 'DEMO-COR-03', doneOn: '2022-06-21', what: 'repaired', logStep: 0, retestDays: 3 },
  {
    electrodeId: 'DEMO-HAT-09',
    doneOn: '2021-06-14',
    what: 'extended',
    logStep: -0.45,
    retestDays: 8,
    notes: 'second length coupled on',
  },
  {
    electrodeId: 'DEMO-FEN-04',
    doneOn: '2022-09-19',
    what: 'disturbed',
    logStep: 0.12,
    notes: 'track widened beside the support',
  },
  {
    electrodeId: 'DEMO-BEL-11',
    doneOn: '2023-04-03',
    what: 'extended',
    logStep: -0.35,
    retestDays: 10,
    notes: 'second wire laid for the new limit',
  },
  {
    electrodeId: 'DEMO-ESK-07',
    doneOn: '2024-12-09',
    what: 'stolen',
    logStep: 0,
    notes: 'conductor cut off at ground level',
  },
  { electrodeId: 'DEMO-ESK-07', doneOn: '2025-05-12', what: 'replaced', logStep: -0.05, retestDays: 7 },
]

/** A test because something had happened; nothing was found. */
export interface AfterFault {
  electrodeId: string
  on: string
  notes: string
}

export const AFTER_FAULT: readonly AfterFault[] = [
  { electrodeId: 'DEMO-BEL-01', on: '2019-11-06', notes: 'mast struck by lightning on the 4th' },
  { electrodeId: 'DEMO-ARN-06', on: '2021-09-14', notes: 'neutral current during a line fault' },
  { electrodeId: 'DEMO-GOR-01', on: '2025-11-11', notes: 'mast struck by lightning on the 9th' },
]
