/** From a planned test to a draft: each practice measures its own quantity in its own way. */
import type { MeasuredAs, Method } from '../../shared-lib/survey/survey.ts'
import type { Draft } from './draft.ts'
import { gainOf } from './instrument.ts'
import { isOpen, trueOhm } from './life.ts'
import { ground, link, people, saysWhatWasConnected, seen, setUp, stamp } from './paperwork.ts'
import { randomFor } from './random.ts'
import { FULL, readingsOf, SHORT, SLOPE, singleReading } from './readings.ts'
import type { Practice } from './special.ts'
import type { PlannedTest } from './visit.ts'

interface Way {
  method: Method
  measuredAs: MeasuredAs
  /** Of what the electrode alone would read: the rest of the system shares the current, or stands in series with it. */
  share: number
  fractions: readonly number[] | null
}

const WAYS: Record<Practice, Way> = {
  short: { method: 'fall-of-potential', measuredAs: 'electrode-alone', share: 1, fractions: SHORT },
  full: { method: 'fall-of-potential', measuredAs: 'electrode-alone', share: 1, fractions: FULL },
  slope: { method: 'slope', measuredAs: 'electrode-alone', share: 1, fractions: SLOPE },
  'clamp-loop': { method: 'clamp-loop', measuredAs: 'connected', share: 1.08, fractions: null },
  selective: { method: 'selective', measuredAs: 'connected', share: 1, fractions: SHORT },
  'high-frequency': { method: 'high-frequency', measuredAs: 'part-of-system', share: 0.8, fractions: SHORT },
  'current-injection': { method: 'current-injection', measuredAs: 'connected', share: 0.6, fractions: SHORT },
  'known-earth': { method: 'known-earth', measuredAs: 'connected', share: 1.05, fractions: null },
}

export interface Choices {
  /** Another current-probe distance than the usual one, m. */
  currentProbeM?: number
  /** Factor on what the electrode itself would read: a path left connected. */
  factor?: number
  lineDirection?: string
}

function wayOf(test: PlannedTest): Way {
  const { practice, register } = test.electrode
  const way = WAYS[test.full && practice === 'short' ? 'full' : practice]
  return practice === 'slope' && register.canBeIsolated === 'no'
    ? { ...way, measuredAs: 'connected', share: 0.7 }
    : way
}

/** One sound test, with nothing planted in it. */
export function practised(test: PlannedTest, choices: Choices = {}): Draft {
  const { electrode, day, minute } = test
  const { site, register } = electrode
  const way = wayOf(test)
  const random = randomFor('test', register.electrodeId, day, minute)
  const wholeOhm = trueOhm(electrode, day) * way.share
  const clamp = way.method === 'clamp-loop'
  const crew = clamp ? { ...test.crew, instrumentId: 'DEMO-C1' } : test.crew
  const currentProbeM = choices.currentProbeM ?? register.usualCurrentProbeM ?? 30
  const opensLink = way.measuredAs === 'electrode-alone'
  const at = (m: number) => stamp(day, m, site.dialect === 'long' ? site.offset : '')
  const measured = {
    electrode,
    currentProbeM,
    resistanceOhm: wholeOhm * (choices.factor ?? 1),
    fractions: way.fractions ?? SHORT,
    leadAngleDeg: 0,
    fromEdge: way.method === 'slope',
    gain: gainOf(crew.instrumentId, day),
  }
  const readings = way.fractions
    ? readingsOf(measured, random)
    : singleReading(measured.resistanceOhm, measured.gain, random)
  return {
    electrode,
    day,
    minute,
    dialect: site.dialect,
    offset: site.offset,
    trueOhm: wholeOhm,
    planted: [],
    survey: {
      electrodeId: register.electrodeId,
      method: way.method,
      purpose: test.purpose,
      outcome: 'tested',
      measuredAs: opensLink && !saysWhatWasConnected(electrode, day) ? 'not-known' : way.measuredAs,
      ...(way.fractions ? { currentProbeM, leadAngleDeg: 0 } : {}),
      ...(way.fractions ? setUp(electrode, day, wholeOhm, random) : {}),
      ...(way.fractions ? { distanceFrom: originOf(way.method, register.kind) } : {}),
      ...(choices.lineDirection ? { lineDirection: choices.lineDirection } : {}),
      ...people({ ...test, crew }, random),
      ...ground(electrode, day, random),
      ...(site.dialect === 'semicolon' ? {} : opensLink ? link(test, at, random) : {}),
      ...(site.dialect === 'semicolon' && opensLink
        ? { linkChecked: 'tight' as const, restoredBy: crew.tester }
        : {}),
      ...(opensLink ? {} : { linkChecked: 'not-opened' as const }),
      ...seen(random),
      readings: isOpen(electrode, day) ? readings.map(overRange) : readings,
    },
  }
}

function originOf(method: Method, kind: string): 'edge' | 'centre' | 'connection-point' {
  if (method === 'slope') return 'edge'
  return kind === 'rod' || kind === 'rod-group' || kind === 'plate' ? 'connection-point' : 'centre'
}

function overRange(reading: Draft['survey']['readings'][number]): Draft['survey']['readings'][number] {
  return {
    ...(reading.potentialProbeM === undefined ? {} : { potentialProbeM: reading.potentialProbeM }),
    condition: 'over-range',
    atLeastOhm: 2000,
  }
}
