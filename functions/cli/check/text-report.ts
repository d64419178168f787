import type { JudgedSurvey } from '../../../shared-lib/evaluate/evaluation.ts'
import { CONFORMITY_WORDS, VALIDITY_WORDS } from '../../../shared-lib/evaluate/judgement-words.ts'
import type { Finding } from '../../../shared-lib/survey/finding.ts'
import { FINDING_TITLES, SEVERITY_WORDS } from '../../../shared-lib/survey/finding-words.ts'
import type { LineWriter } from '../terminal/line-writer.ts'
import { createRefusedGroups } from '../terminal/refused-rows.ts'
import { counted, listed, printable } from '../terminal/words.ts'
import type { HeldRecord } from './record.ts'
import type { Report } from './report.ts'
import type { Tally } from './tally.ts'

/** How many held surveys, and urgent ones, are named at the end before they are only counted. */
const SHOWN_NAMES = 20

/**
 * For people: each survey that needs somebody (a warning, or no value), in full; then what was held and refused, equal problems together; the totals
 * last, where they are still on the screen. Surveys with nothing to do are counted only.
 */
export function textReport(out: LineWriter): Report {
  const refused = createRefusedGroups()
  const held: string[] = []
  let heldCount = 0
  const cautions = new Set<string>()
  const urgent: string[] = []
  let urgentCount = 0
  return {
    record(record) {
      if (record.kind === 'refused') {
        refused.add(record)
        return
      }
      if (record.kind === 'held') {
        heldCount++
        if (held.length < SHOWN_NAMES) held.push(heldLine(record))
        return
      }
      const loud = record.findings.filter((f) => f.severity !== 'notice')
      if (loud.length === 0 && record.validity !== 'invalid') return
      for (const caution of record.cautions) cautions.add(caution)
      for (const finding of loud)
        if (finding.severity === 'urgent' && ++urgentCount <= SHOWN_NAMES)
          urgent.push(`  ${about(record)}: ${named(finding)}`)
      return out.line(surveyLines(record).join('\n'))
    },
    async end(tally) {
      const block = (heading: string, lines: string[]): string[] =>
        lines.length > 0 ? [heading, ...lines, ''] : []
      const lines = [
        ...block('Held until somebody matches the electrode:', [
          ...held,
          ...more(heldCount - held.length, 'survey'),
        ]),
        ...block('Refused; all the rest was judged:', refused.lines()),
        ...block(
          'Before anyone goes to an earth:',
          [...cautions].map((c) => `  - ${c}`),
        ),
        ...block('Urgent, act now:', [...urgent, ...more(urgentCount - urgent.length, 'finding')]),
        ...totals(tally),
      ]
      for (const line of lines) await out.line(line)
      await out.flush()
    },
  }
}

function heldLine(record: HeldRecord): string {
  return `  row ${record.row}, ${printable(record.surveyRef)}: ${printable(record.problem)}`
}

const more = (n: number, what: string): string[] => (n > 0 ? [`  and ${counted(n, `more ${what}`)}`] : [])

/** `S-1042  E-7  2026-05-04`. */
function about(s: JudgedSurvey): string {
  const names = [s.surveyRef, s.electrodeId, s.testedAt.slice(0, 10)]
  return names
    .filter((name) => name !== null)
    .map(printable)
    .join('  ')
}

function surveyLines(s: JudgedSurvey): string[] {
  const lines = [`${about(s)}  ${resultText(s)}`]
  // What made it invalid is said by its findings; where they are silent, by the reasons.
  if (s.findings.every((f) => f.severity === 'notice'))
    for (const reason of s.reasons) lines.push(`  ${printable(reason)}`)
  for (const finding of s.findings) {
    lines.push(`  ${SEVERITY_WORDS[finding.severity]}: ${named(finding)}. ${printable(finding.message)}`)
    if (finding.severity !== 'notice')
      for (const advice of finding.advice) lines.push(`    - ${printable(advice)}`)
  }
  return [...lines, '']
}

/** `Over the limit (limit-exceeded)`: in the words of pages and mail, with the code that `--json` and filters have. */
const named = ({ code }: Finding): string => `${FINDING_TITLES[code]} (${code})`

/** `11.02 ohm ± 0.48 ohm, valid, conforming (limit 25 ohm)`. */
function resultText(s: JudgedSurvey): string {
  const value =
    s.resistanceOhm === null
      ? 'no value'
      : `${short(s.resistanceOhm)} ohm${s.expandedUncertaintyOhm === null ? '' : ` ± ${short(s.expandedUncertaintyOhm, 2)} ohm`}`
  const limit =
    s.conformity === 'not-assessed' || s.limitOhm === null
      ? []
      : [`${CONFORMITY_WORDS[s.conformity].toLowerCase()} (limit ${short(s.limitOhm)} ohm)`]
  return [value, VALIDITY_WORDS[s.validity].toLowerCase(), ...limit].join(', ')
}

/** Significant digits for reading, without an exponent. */
function short(value: number, digits = 4): string {
  return String(Number(value.toPrecision(digits)))
}

function totals(t: Tally): string[] {
  const kinds = [`${t.valid} valid`, `${t.doubtful} doubtful`, `${t.invalid} not valid`]
  const rest = [
    ...(t.held > 0 ? [`${counted(t.held, 'survey')} held`] : []),
    ...(t.repeated > 0 ? [`${counted(t.repeated, 'survey')} given twice and reported once`] : []),
    ...(t.refusedRows > 0 ? [`${counted(t.refusedRows, 'row')} refused`] : []),
  ]
  return [
    `${counted(t.surveys, 'survey')} judged: ${listed(kinds)}.`,
    `Findings: ${listed([`${t.urgent} urgent`, counted(t.warning, 'warning'), counted(t.notice, 'notice')])}.`,
    ...(rest.length > 0 ? [`${listed(rest)}.`] : []),
  ]
}
