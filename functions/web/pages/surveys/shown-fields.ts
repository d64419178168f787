import type { SurveyKey } from '../../../../shared-lib/survey/fields.ts'
import { type TestKindName, testKind } from './test-kinds.ts'

const LINE_KEYS = ['currentProbeM', 'distanceFrom', 'lineDirection'] as const satisfies SurveyKey[]
const STAKE_KEYS = ['leads', 'leadAngleDeg', 'probeHOhm', 'probeSOhm'] as const satisfies SurveyKey[]
const ELECTRIC_KEYS = [
  'connection',
  'interferenceV',
  'testFrequencyHz',
  'testCurrentMa',
  'earthLeadOhm',
  'leadResistanceOhm',
] as const satisfies SurveyKey[]
const LINK_KEYS = [
  'linkOpenedAt',
  'linkClosedAt',
  'linkChecked',
  'restoredBy',
  'personInControl',
  'permitRef',
] as const satisfies SurveyKey[]

/** Fields that have no place on the form of this kind of test. What was typed into them is carried along, and not handed in. */
export function hiddenKeys(test: TestKindName): ReadonlySet<SurveyKey> {
  const hidden = new Set<SurveyKey>()
  const hide = (keys: readonly SurveyKey[]) => {
    for (const key of keys) hidden.add(key)
  }
  if (test === 'none')
    hide([...LINE_KEYS, ...STAKE_KEYS, ...ELECTRIC_KEYS, 'measuredAs', 'knownOhm', 'fromPoint', 'toPoint'])
  else hide(['outcome'])
  if (test === 'four-point') hide(['electrodeId', 'measuredAs', 'event', 'knownOhm', 'fromPoint', 'toPoint'])
  if (test === 'check-resistor')
    hide([
      ...LINE_KEYS,
      ...STAKE_KEYS,
      ...LINK_KEYS,
      'electrodeId',
      'siteId',
      'measuredAs',
      'event',
      'visual',
      'fromPoint',
      'toPoint',
    ])
  if (testKind(test).methods.length < 2) hide(['method'])
  return hidden
}

/** What the details of the set-up hold, for the fields that are on the form and not shown openly. */
export function setUpDetails(test: TestKindName): SurveyKey[] {
  const rows = testKind(test).rows
  const line = rows === 'percent' || rows === 'distance' ? [] : LINE_KEYS
  const all: SurveyKey[] = [...line, ...ELECTRIC_KEYS, ...STAKE_KEYS]
  const hidden = hiddenKeys(test)
  return all.filter((key) => !hidden.has(key) && !(test === 'two-point' && key === 'leadResistanceOhm'))
}

/** What the details of the first step hold. */
export function referenceDetails(test: TestKindName): SurveyKey[] {
  const all: SurveyKey[] = [
    'surveyRef',
    'corrects',
    'repeatOf',
    'secondDirectionOf',
    'siteId',
    'fromPoint',
    'toPoint',
    'knownOhm',
  ]
  const openly: SurveyKey[] =
    test === 'four-point'
      ? ['siteId']
      : test === 'check-resistor'
        ? ['knownOhm']
        : test === 'two-point'
          ? ['fromPoint', 'toPoint']
          : []
  const hidden = hiddenKeys(test)
  return all.filter((key) => !hidden.has(key) && !openly.includes(key))
}
