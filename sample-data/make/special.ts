/** Electrodes that are not as the rule makes them: in service for ever, no room, new, or known to be too high. */
import type { Electrode } from '../../shared-lib/survey/register.ts'

/** How an electrode is tested as a rule. */
export type Practice =
  | 'short'
  | 'full'
  | 'slope'
  | 'clamp-loop'
  | 'selective'
  | 'high-frequency'
  | 'current-injection'
  | 'known-earth'

export interface Special {
  size?: Partial<Electrode>
  practice?: Practice
  canBeIsolated?: 'yes' | 'outage-only' | 'no'
  installedOn?: string
  limitOhm?: number
  usualCurrentProbeM?: number
  words?: Partial<Electrode>
}

const inService = (practice: Practice, connectedTo: string): Special => ({
  practice,
  canBeIsolated: 'no',
  words: { connectedTo, hazards: 'in service: the earth stays connected' },
})

export const SPECIALS: Readonly<Record<string, Special>> = {
  'DEMO-ARN-01': {
    canBeIsolated: 'no',
    words: {
      connectedTo: 'all station metalwork',
      hazards: 'live station; far lead carries remote potential',
    },
  },
  'DEMO-ARN-02': {
    words: { connectedTo: 'control building', notes: 'Test link in the cellar, left of the stair' },
  },
  'DEMO-ARN-11': {
    canBeIsolated: 'outage-only',
    words: { connectedTo: 'earthing transformer', hazards: 'live line to the west; cross at right angles' },
  },
  'DEMO-BEL-04': { words: { hazards: 'bees in the pit lid in summer' } },
  'DEMO-COR-08': inService('current-injection', 'pump hall frame'),
  'DEMO-COR-05': { words: { hazards: 'deep pit: test the air, not alone' } },
  'DEMO-DUN-04': { words: { hazards: 'fuel store: hot-work rules, no spark' } },
  'DEMO-DUN-08': { installedOn: '2018-03-12' },
  'DEMO-ESK-08': { installedOn: '2019-08-20' },
  'DEMO-FEN-03': inService('high-frequency', 'overhead earth wire'),
  'DEMO-FEN-07': inService('selective', 'overhead earth wire'),
  'DEMO-FEN-09': inService('clamp-loop', 'overhead earth wire'),
  'DEMO-GOR-06': { limitOhm: 40, words: { notes: 'Known to be high; a fourth rod is planned' } },
  'DEMO-GOR-07': { words: { hazards: 'steep ground, rock under 0.5 m' } },
  'DEMO-HAT-02': inService('clamp-loop', 'neutral of the village line'),
  'DEMO-HAT-05': { usualCurrentProbeM: 15, words: { notes: 'No room beyond 15 m: road and wall' } },
  'DEMO-HAT-06': inService('known-earth', 'neutral of the village line'),
  'DEMO-HAT-10': inService('clamp-loop', 'neutral of the village line'),
  'DEMO-HAT-12': { installedOn: '2020-02-24' },
  'DEMO-ILV-01': inService('current-injection', 'quay wall steel'),
  'DEMO-ILV-05': {
    limitOhm: 5,
    words: { notes: 'Missed its limit at most tests; agreed to wait for the quay works' },
  },
  'DEMO-JOR-03': { installedOn: '2021-04-19' },
  'DEMO-BEL-09': { usualCurrentProbeM: 15, words: { notes: 'Fence at 16 m; the line cannot go further' } },
}
