import type { Method } from '../../../../shared-lib/survey/survey.ts'

/** What a person came to hand in. It decides which methods can be meant and how the rows of readings look. */
export interface TestKind {
  label: string
  methods: readonly Method[]
  /**
   * `percent`: places fixed in % of the current probe's distance; `distance`: typed; `plain`: a reading without a place;
   * `spacing`: four-point; `none`: no reading.
   */
  rows: 'percent' | 'distance' | 'plain' | 'spacing' | 'none'
  /** Places of `percent` rows. */
  positions?: readonly number[]
  /** Rows shown otherwise. */
  rowCount?: number
}

export const TEST_KINDS = {
  short: {
    label: 'Fall of potential, short survey: 52, 62 and 72 %',
    methods: ['fall-of-potential'],
    rows: 'percent',
    positions: [52, 62, 72],
  },
  full: {
    label: 'Fall of potential, full survey: every 10 %',
    methods: ['fall-of-potential'],
    rows: 'percent',
    positions: [10, 20, 30, 40, 50, 60, 70, 80, 90],
  },
  slope: {
    label: 'Slope method: 20, 40 and 60 %',
    methods: ['slope'],
    rows: 'percent',
    positions: [20, 40, 60],
  },
  own: {
    label: 'Stakes at distances of my own',
    methods: ['fall-of-potential', 'slope', 'selective', 'high-frequency', 'current-injection'],
    rows: 'distance',
    rowCount: 10,
  },
  single: {
    label: 'Another method: clamp, selective, high frequency, injection, known earth',
    methods: ['clamp-loop', 'selective', 'high-frequency', 'current-injection', 'known-earth'],
    rows: 'plain',
    rowCount: 3,
  },
  'two-point': {
    label: 'Two-point: continuity or bonding',
    methods: ['two-point'],
    rows: 'plain',
    rowCount: 1,
  },
  'four-point': {
    label: 'Four-point: soil resistivity of a site',
    methods: ['four-point'],
    rows: 'spacing',
    rowCount: 8,
  },
  'check-resistor': {
    label: 'Check of the instrument on a known resistor',
    methods: ['check-resistor'],
    rows: 'plain',
    rowCount: 3,
  },
  none: {
    label: 'Could not test',
    methods: [
      'fall-of-potential',
      'slope',
      'two-point',
      'clamp-loop',
      'selective',
      'high-frequency',
      'current-injection',
      'known-earth',
    ],
    rows: 'none',
  },
} as const satisfies Record<string, TestKind>

export type TestKindName = keyof typeof TEST_KINDS

export function testKind(name: TestKindName): TestKind {
  return TEST_KINDS[name]
}

export function isTestKind(name: string | undefined): name is TestKindName {
  return name !== undefined && Object.hasOwn(TEST_KINDS, name)
}
