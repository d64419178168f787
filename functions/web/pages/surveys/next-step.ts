import { electrodeSizeM } from '../../../../shared-lib/earth/electrode-size.ts'
import { DEFAULTS } from '../../../../shared-lib/evaluate/defaults.ts'
import type { Evaluation } from '../../../../shared-lib/evaluate/evaluation.ts'
import type { Electrode } from '../../../../shared-lib/survey/register.ts'
import { metres, number, ohmWithDoubt } from '../view/format.ts'
import { type FormState, rowDistance, typedCurrentProbe } from './form-state.ts'
import { testKind } from './test-kinds.ts'
import type { UnderstoodForm } from './understand-form.ts'

/** The one thing to do next, in the order in which a crew works. */
export interface NextStep {
  words: string
  /** The control where it is written down; null when nothing is left but handing in. */
  fieldId: string | null
  /** `good`: it stands; `mend`: something stands in the way; `do`: simply the next thing. */
  look: 'do' | 'good' | 'mend'
}

export interface NextParts {
  state: FormState
  understood: UnderstoodForm
  /** From the register, when the id is known on this phone. */
  electrode: Electrode | null
  /** Null while there is nothing to judge, or no register words to judge by. */
  judged: Evaluation | null
}

/**
 * What to do next: which electrode, how far the current probe, which stake, whether the readings stand and what would mend them,
 * closing the link, handing in. Pure; asked after every key.
 */
export function nextStep(parts: NextParts): NextStep {
  const { state, understood } = parts
  const { survey, problems } = understood
  const kind = testKind(state.test)
  const wrongReading = problems.find((p) => /^r\d+-/.test(p.fieldId) && typedAt(state, p.fieldId) !== '')
  if (wrongReading) return { words: wrongReading.message, fieldId: wrongReading.fieldId, look: 'mend' }
  const subject = subjectField(state)
  if (!state.values[subject]?.trim()) return { words: SUBJECT_WORDS[subject], fieldId: subject, look: 'do' }
  if (kind.rows !== 'none') {
    const reading = readingStep(parts)
    if (reading) return reading
  }
  const result = resultWords(parts)
  if (
    ASKS_CONNECTION.has(kind.rows) &&
    state.test !== 'two-point' &&
    state.test !== 'check-resistor' &&
    !state.values.measuredAs
  )
    return {
      words: `${result} What was connected while measuring?`.trim(),
      fieldId: 'measuredAs',
      look: 'do',
    }
  const open = problems.find((p) => LINK_FIELDS.has(p.fieldId))
  if (open) return { words: `${result} ${open.message}`.trim(), fieldId: open.fieldId, look: 'mend' }
  const first = problems[0]
  if (first) return { words: `${result} ${first.message}`.trim(), fieldId: first.fieldId, look: 'mend' }
  if (
    state.test !== 'check-resistor' &&
    !NEVER_REACHED.has(survey.outcome) &&
    survey.linkChecked === undefined
  )
    return { words: `${result} How was the earth link left?`.trim(), fieldId: 'linkChecked', look: 'do' }
  if (survey.linkChecked === 'still-open')
    return {
      words: 'The link is still open: phone the person in control now, and hand this in at once.',
      fieldId: null,
      look: 'mend',
    }
  return parts.judged?.validity === 'invalid' || doubtAdvice(parts.judged)
    ? { words: `${result} Or hand it in as it is.`, fieldId: null, look: 'mend' }
    : { words: `${result} Hand in.`.trim(), fieldId: null, look: 'good' }
}

/** Nobody was at the link. */
const NEVER_REACHED: ReadonlySet<string> = new Set(['no-access', 'not-found'])

const LINK_FIELDS = new Set(['before', 'linkChecked', 'linkClosedAt', 'after'])

/** Kinds of rows whose value depends on what was connected; soil and a visit without a test do not ask. */
const ASKS_CONNECTION: ReadonlySet<string> = new Set(['percent', 'distance', 'plain'])

const SUBJECT_WORDS = {
  electrodeId: 'Which electrode? Its id or the number on its tag.',
  siteId: 'Which site?',
  instrumentId: 'Which instrument?',
} as const

function subjectField({ test }: FormState): keyof typeof SUBJECT_WORDS {
  return test === 'four-point' ? 'siteId' : test === 'check-resistor' ? 'instrumentId' : 'electrodeId'
}

function typedAt(state: FormState, fieldId: string): string {
  const [, row = '', name = ''] = /^r(\d+)-(\w+)$/.exec(fieldId) ?? []
  const typed = state.rows[Number(row)] as Record<string, string> | undefined
  return typed?.[name] ?? ''
}

/** Distance, next stake, or what the readings need; null when the readings are done. */
function readingStep(parts: NextParts): NextStep | null {
  const { state, electrode, judged } = parts
  const kind = testKind(state.test)
  const far = typedCurrentProbe(state)
  if (kind.rows === 'percent' && far === null)
    return { words: `Current probe: ${farWords(electrode)}.`, fieldId: 'currentProbeM', look: 'do' }
  const empty = firstEmptyRow(state)
  if (empty === null) return null
  if (isTooEarly(state, parts.understood))
    return {
      words:
        'Over range: look at the leads, the clamp and both stakes, and read once more. If it stays so, go on to the next stake.',
      fieldId: empty,
      look: 'mend',
    }
  const trouble = judged === null || !anyReadingLost(state) ? null : firstAdvice(judged)
  if (trouble) return { words: trouble, fieldId: empty, look: 'mend' }
  const row = Number(/\d+/.exec(empty)?.[0] ?? 0)
  const percent = kind.positions?.[row]
  const at = percent === undefined ? null : rowDistance(far, percent)
  const words =
    at !== null
      ? `Potential probe to ${number(Math.round(at * 100) / 100, 6)} ${state.unit} (${percent} %), then read.`
      : kind.rows === 'spacing'
        ? `Reading ${row + 1}: the spacing, then the resistance.`
        : `Reading ${row + 1}.`
  return { words, fieldId: kind.positions || kind.rows === 'plain' ? empty : `r${row}-distance`, look: 'do' }
}

/** Readings along a line that are to be there before anything is said of the electrode itself. */
const FEWEST_ALONG_A_LINE = 3

/**
 * Too few readings along the line to judge by. Over range at the first stakes is mostly a lead that is off: that the earth itself
 * may be broken is said once the line is read.
 */
export function isTooEarly(state: FormState, { survey }: UnderstoodForm): boolean {
  const { rows, positions } = testKind(state.test)
  if (rows !== 'percent' && rows !== 'distance') return false
  const fewest = Math.min(FEWEST_ALONG_A_LINE, positions?.length ?? FEWEST_ALONG_A_LINE)
  const { length } = survey.readings
  return length > 0 && length < fewest && survey.readings.every((r) => r.condition === 'over-range')
}

function farWords(electrode: Electrode | null): string {
  if (electrode?.usualCurrentProbeM !== undefined)
    return `here it usually stands ${metres(electrode.usualCurrentProbeM)} away. Write down how far`
  const sizeM = electrode === null ? null : electrodeSizeM(electrode)
  return sizeM !== null
    ? `${metres(Math.ceil(DEFAULTS.probeAdvised * sizeM))} away would do for this electrode. Write down how far`
    : `drive it ${DEFAULTS.probeAdvised} times the electrode’s size away, or further, and write down how far`
}

/** Fewest readings after which the rest of the rows may stay empty. */
const ENOUGH = { percent: Number.POSITIVE_INFINITY, distance: 3, plain: 1, spacing: 1, none: 0 }

function firstEmptyRow(state: FormState): string | null {
  const kind = testKind(state.test)
  const used = (i: number) => {
    const row = state.rows[i]
    return row !== undefined && (row.ohm.trim() !== '' || !['', 'ok'].includes(row.condition))
  }
  const count = kind.positions?.length ?? state.rows.length
  const done = state.rows.filter((_, i) => used(i)).length
  if (done >= ENOUGH[kind.rows]) return null
  for (let i = 0; i < count; i++) if (!used(i)) return `r${i}-ohm`
  return null
}

function anyReadingLost(state: FormState): boolean {
  return state.rows.some((row) => !['', 'ok'].includes(row.condition) || /^\s*(ol|>)/i.test(row.ohm))
}

function firstAdvice(judged: Evaluation): string | null {
  const finding = judged.findings.find((f) => f.severity !== 'notice' && f.advice.length > 0)
  return finding ? (finding.advice[0] ?? null) : null
}

/** What would clear the doubt while the stakes are still in; '' when it is not doubtful or nothing would. */
function doubtAdvice(judged: Evaluation | null): string {
  if (judged?.validity !== 'doubtful') return ''
  return judged.findings.find((f) => !f.code.startsWith('limit-') && f.advice.length > 0)?.advice[0] ?? ''
}

function resultWords({ judged }: NextParts): string {
  if (judged === null) return ''
  const value = ohmWithDoubt(judged.resistanceOhm, judged.expandedUncertaintyOhm)
  if (judged.validity === 'valid') return `It stands: ${value}.`
  if (judged.validity === 'doubtful') return `Doubtful: ${value}. ${doubtAdvice(judged)}`.trim()
  if (judged.resistanceOhm === null && judged.findings.length === 0) return ''
  return `It does not stand yet. ${firstAdvice(judged) ?? judged.reasons[0] ?? ''}`.trim()
}
