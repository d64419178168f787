/** A small file of the kind that comes in on a bad day: sound surveys beside the usual mistakes, for trying out an upload. */
import { type Cell, csvText } from './csv.ts'

const HEADINGS = [
  'survey_ref',
  'electrode_id',
  'tested_at',
  'current_probe_m',
  'potential_probe_m',
  'resistance_ohm',
  'measured_as',
  'instrument_id',
  'tester',
  'outcome',
  'link_opened_at',
  'link_closed_at',
  'link_checked',
  'notes',
]

interface Sheet {
  electrodeId: string
  testedAt: string
  currentProbeM?: number
  /** Potential probe's distance and what stands in the resistance cell. */
  readings: readonly (readonly [number, Cell])[]
  instruments?: readonly string[]
  outcome?: string
  linkChecked?: string
  notes?: string
}

/** One decimal comma in a file of decimal points: after it nothing tells what `1,200` means. */
const SHEETS: readonly Sheet[] = [
  {
    electrodeId: 'DEMO-COR-01',
    testedAt: '2026-11-16T09:10',
    currentProbeM: 50,
    readings: [
      [26, 12.7],
      [31, 12.83],
      [36, 12.95],
    ],
  },
  {
    electrodeId: 'DEMO-COR-02',
    testedAt: '2026-11-16T10:05',
    currentProbeM: 25,
    readings: [
      [13, 17.31],
      [15.5, 'eighteen'],
      [18, 18.02],
    ],
  },
  {
    electrodeId: 'DEMO-COR-03',
    testedAt: '2026-11-16T11:00',
    currentProbeM: 30,
    readings: [
      [15.6, '15,6 Ω'],
      [18.6, '15,9 Ω'],
      [21.6, '16,1 Ω'],
    ],
  },
  {
    electrodeId: 'DEMO-ILV-09',
    testedAt: '2026-11-17T09:20',
    currentProbeM: 90,
    readings: [
      [46.8, 1.47],
      [55.8, '1,200'],
      [64.8, 1.6],
    ],
  },
  {
    electrodeId: 'DEMO-COR-99',
    testedAt: '2026-11-16T12:10',
    currentProbeM: 30,
    readings: [
      [15.6, 14.2],
      [18.6, 14.5],
      [21.6, 14.7],
    ],
  },
  {
    electrodeId: 'DEMO-COR-04',
    testedAt: '2026-11-16T13:05',
    currentProbeM: 30,
    readings: [
      [15.6, 14.9],
      [18.6, 15.2],
      [36, 15.4],
    ],
  },
  {
    electrodeId: 'DEMO-COR-06',
    testedAt: '2026-11-16T14:20',
    currentProbeM: 30,
    readings: [
      [15.6, 11.62],
      [18.6, 11.93],
      [21.6, 12.31],
    ],
    linkChecked: 'still-open',
    notes: 'bolt of the link lost in the grass',
  },
  {
    electrodeId: 'DEMO-COR-11',
    testedAt: '2026-11-16T15:15',
    currentProbeM: 20,
    readings: [
      [10.4, 14.6],
      [12.4, 15],
      [14.4, 15.5],
    ],
    instruments: ['DEMO-M4', 'DEMO-M1', 'DEMO-M1'],
  },
  {
    electrodeId: 'DEMO-COR-12',
    testedAt: '2026-11-31T09:00',
    currentProbeM: 90,
    readings: [
      [46.8, 5.88],
      [55.8, 5.97],
      [64.8, 6.02],
    ],
  },
  {
    electrodeId: 'DEMO-ILV-03',
    testedAt: '2026-11-17T10:30',
    readings: [],
    outcome: 'no-access',
    notes: 'crane over the pit again',
  },
  {
    electrodeId: 'DEMO-ILV-06',
    testedAt: '2026-11-17T11:10',
    currentProbeM: 38,
    readings: [
      [19.76, 55.1],
      [23.56, 56.2],
      [27.36, 57.5],
    ],
    notes: 'read twice',
  },
  {
    electrodeId: 'DEMO-ILV-07',
    testedAt: '',
    currentProbeM: 60,
    readings: [
      [31.2, 3.81],
      [37.2, 3.86],
      [43.2, 3.92],
    ],
  },
  {
    electrodeId: 'DEMO-ILV-02',
    testedAt: '2026-11-17T13:00',
    currentProbeM: 90,
    readings: [
      [46.8, '646 mΩ'],
      [55.8, '671 mΩ'],
      [64.8, '702 mΩ'],
    ],
  },
]

function rowsOf(sheet: Sheet, number: number): Cell[][] {
  const surveyRef = `DEMO-X-${String(number).padStart(2, '0')}`
  const readings: readonly (readonly [number, Cell] | readonly [])[] =
    sheet.readings.length > 0 ? sheet.readings : [[]]
  const after = sheet.testedAt === '' || sheet.outcome ? undefined : (sheet.linkChecked ?? 'tight')
  return readings.map(([potentialProbeM, resistance], i) => [
    surveyRef,
    sheet.electrodeId,
    sheet.testedAt,
    sheet.currentProbeM,
    potentialProbeM,
    resistance,
    'electrode-alone',
    sheet.instruments?.[i] ?? (sheet.electrodeId.startsWith('DEMO-ILV') ? 'DEMO-M3' : 'DEMO-M4'),
    sheet.electrodeId.startsWith('DEMO-ILV') ? 'Ilka M.' : 'Haslet D.',
    sheet.outcome,
    ...linkTimes(sheet.testedAt, after),
    after,
    i === 0 ? sheet.notes : undefined,
  ])
}

/** Opened five minutes before the hour of the test, closed half an hour after; the impossible day has neither. */
function linkTimes(testedAt: string, checked: string | undefined): [Cell, Cell] {
  if (checked === undefined || testedAt.includes('-31T')) return [undefined, undefined]
  const [day = '', time = ''] = testedAt.split('T')
  const hour = Number(time.slice(0, 2))
  const at = (h: number, m: string) => `${day}T${String(h).padStart(2, '0')}:${m}`
  return [at(hour - 1, '55'), checked === 'still-open' ? undefined : at(hour, '45')]
}

/** The file. What is expected of each survey stands in the README. */
export function messyText(): string {
  return csvText(
    HEADINGS,
    SHEETS.flatMap((sheet, i) => rowsOf(sheet, i + 1)),
  )
}
