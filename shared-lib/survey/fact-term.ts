import { SURVEY_FIELDS } from './fields.ts'

const TERMS: Record<string, string> = {
  resistanceOhm: 'Value, Ω',
  expectedOhm: 'Expected, Ω',
  expectedRangeOhm: 'Expected range, Ω',
  ratio: 'Times the expected value',
  neighbours: 'Neighbours compared with',
  sharedShiftPercent: 'Shift shared with the neighbours, %',
  surveyRef: 'Survey',
  testedAt: 'Tested',
  conformityProbability: 'Chance that it conforms',
  purpose: 'For',
  sameAs: 'Same readings as survey',
  sameAsTestedAt: 'Which was tested',
  chanceOfRepetition: 'Chance of such a repetition',
  atLeastOhm: 'Beyond, Ω',
  wantedM: 'Distance wanted, m',
  sizeM: 'Size of the electrode, m',
  times: 'Times its size',
  basis: 'Where the limit comes from',
  rule: 'Decided by the rule',
}
const UNITS: [suffix: string, unit: string][] = [
  ['PercentPerYear', ', % a year'],
  ['Percent', ', %'],
  ['OhmM', ', Ω·m'],
  ['Ohm', ', Ω'],
  ['Deg', ', °'],
  ['Years', ', years'],
  ['M', ', m'],
  ['V', ', V'],
]

/** Is this key's value a chance, to be shown as a percentage? */
export const isChance = (key: string): boolean => /probability$|^chance[A-Z]/i.test(key)

/** A heading for a key of the evidence: a field's own label where it is one, else the key in words with its unit. */
export function factTerm(key: string): string {
  if (TERMS[key]) return TERMS[key]
  const unit = UNITS.find(([suffix]) => key.endsWith(suffix) && key !== suffix)
  const label = Object.hasOwn(SURVEY_FIELDS, key)
    ? SURVEY_FIELDS[key as keyof typeof SURVEY_FIELDS].label
    : null
  const words = (unit ? key.slice(0, -unit[0].length) : key).replace(/([A-Z])/g, (c) => ` ${c.toLowerCase()}`)
  return (label ?? words.charAt(0).toUpperCase() + words.slice(1)) + (unit ? unit[1] : '')
}
