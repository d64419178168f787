import type { Finding, FindingCode, Severity } from '../survey/finding.ts'
import { CAUTIONS, type CautionTopic } from './cautions.ts'
import type { Validity } from './evaluation.ts'

/** Collects what the judges of one survey say. The worst word rules; nothing said is lost. */
export interface Verdict {
  readonly findings: Finding[]
  readonly reasons: string[]
  validity(): Validity
  /** False once a judge has said why this value must not be compared with others. */
  fitForTrend(): boolean
  cautions(): string[]
  /** Something looked at and let pass. */
  note(reason: string): void
  doubt(reason: string): void
  refuse(reason: string): void
  notForTrend(reason: string): void
  find(finding: FindingDraft, ...cautions: CautionTopic[]): void
}

interface FindingDraft {
  code: FindingCode
  severity: Severity
  probability?: number | null
  message: string
  advice?: string[]
  evidence?: Record<string, unknown>
}

const TOPICS = Object.keys(CAUTIONS) as CautionTopic[]

export function openVerdict(): Verdict {
  const findings: Finding[] = []
  const reasons: string[] = []
  const topics = new Set<CautionTopic>(['record'])
  let worst: Validity = 'valid'
  let trend = true
  const say = (reason: string) => {
    if (!reasons.includes(reason)) reasons.push(reason)
  }
  return {
    findings,
    reasons,
    validity: () => worst,
    fitForTrend: () => trend,
    cautions: () => TOPICS.filter((topic) => topics.has(topic)).map((topic) => CAUTIONS[topic]),
    note: say,
    doubt(reason) {
      if (worst === 'valid') worst = 'doubtful'
      say(reason)
    },
    refuse(reason) {
      worst = 'invalid'
      say(reason)
    },
    notForTrend(reason) {
      trend = false
      say(reason)
    },
    find(draft, ...cautions) {
      for (const topic of cautions) topics.add(topic)
      findings.push({
        code: draft.code,
        severity: draft.severity,
        probability: draft.probability ?? null,
        message: draft.message,
        advice: draft.advice ?? [],
        evidence: finiteOnly(draft.evidence ?? {}),
      })
    },
  }
}

/** Evidence must survive JSON: numbers that are not finite are left out, absent values too. */
function finiteOnly(evidence: Record<string, unknown>): Record<string, unknown> {
  const kept: Record<string, unknown> = {}
  for (const [key, value] of Object.entries(evidence))
    if (value !== undefined && !(typeof value === 'number' && !Number.isFinite(value))) kept[key] = value
  return kept
}
