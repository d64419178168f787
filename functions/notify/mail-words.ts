import { CAUTIONS } from '../../shared-lib/evaluate/cautions.ts'
import { readEvidence } from '../../shared-lib/history/evidence.ts'
import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import { factTerm, isChance } from '../../shared-lib/survey/fact-term.ts'
import type { FindingCode } from '../../shared-lib/survey/finding.ts'
import { chance, number } from '../../shared-lib/survey/number-words.ts'

/** Findings whose next step may lead a person's hand to the electrode's conductor or its link. */
const LEADS_TO_THE_CONDUCTOR: ReadonlySet<FindingCode> = new Set<FindingCode>([
  'electrode-open-suspected',
  'earth-left-open',
  'not-isolated',
  'rising-drift',
  'corrosion-suspected',
  'step-rise',
  'step-fall',
  'parallel-path-suspected',
  'improvement-unexplained',
  'site-drift',
  'limit-exceeded',
  'limit-inconclusive',
  'limit-forecast',
])

/** The likeliest explanations that a mail has room for. */
const MOST_ALTERNATIVES = 3

/** ` (estimated chance 83 %, not yet checked here)`, or nothing where none is claimed. */
export const chanceNote = (f: FindingItem): string =>
  f.probability === null ? '' : ` (estimated chance ${chance(f.probability)}, not yet checked here)`

/** `It could also be: a slipped decimal 12 %; a parallel path 4 %.`, the likeliest first; null where the finding names none. */
export function alternativesLine(f: FindingItem): string | null {
  const { alternatives = [] } = readEvidence(f.evidence)
  // Where they add up to certainty already, the finding itself is spelled out among them.
  const whole = alternatives.reduce((sum, a) => sum + (a.probability ?? 0), f.probability ?? 0) > 1.05
  const others = alternatives
    .filter((a) => a.probability === null || a.probability >= 0.01)
    .sort((a, b) => (b.probability ?? -1) - (a.probability ?? -1))
    .slice(0, MOST_ALTERNATIVES)
    .map((a) => (a.probability === null ? a.explanation : `${a.explanation} ${chance(a.probability)}`))
  return others.length === 0
    ? null
    : `${whole ? 'What it could be' : 'It could also be'}: ${others.join('; ')}.`
}

/** What to mind where the advice sends a person to the conductor; null where it does not. */
export const cautionLine = (f: FindingItem): string | null =>
  LEADS_TO_THE_CONDUCTOR.has(f.code) ? CAUTIONS.link : null

/** Told in the table, the alternatives or the message already, or of no use in a mail. */
const TOLD_ELSEWHERE: ReadonlySet<string> = new Set([
  ...['resistanceOhm', 'expectedOhm', 'ratio', 'neighbours', 'sharedShiftPercent'],
  ...['crossesOn', 'confirms'],
])

/** The plain numbers and words of the evidence; of a comparison, those that its table does not show. */
export function factRows(f: FindingItem, withTable: boolean): [name: string, value: string][] {
  return Object.entries(f.evidence)
    .filter(
      ([k, v]) =>
        (typeof v === 'number' || typeof v === 'string') &&
        k !== 'parametersVersion' &&
        !(withTable && TOLD_ELSEWHERE.has(k)),
    )
    .map(([k, v]) => [termOf(k), typeof v === 'number' ? numberWords(k, v) : String(v)])
}

const numberWords = (key: string, value: number): string => (isChance(key) ? chance(value) : number(value))

/** The words and unit that the pages have for a key of the evidence; a mail writes its units out. */
const termOf = (key: string): string => factTerm(key).replace('Ω·m', 'ohm-metres').replace('Ω', 'ohm')
