import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { mergeFindings } from '../../shared-lib/history/merge-findings.ts'
import {
  FINDING_CODES,
  type Finding,
  type FindingCode,
  SEVERITIES,
  type Severity,
} from '../../shared-lib/survey/finding.ts'

const finding = (code: FindingCode, severity: Severity, probability: number | null = null): Finding => ({
  code,
  severity,
  probability,
  message: `${code} ${severity} ${probability}`,
  advice: [],
  evidence: {},
})

const anyFinding = fc
  .tuple(
    fc.constantFrom(...FINDING_CODES),
    fc.constantFrom(...SEVERITIES),
    fc.option(fc.double({ min: 0, max: 1, noNaN: true }), { nil: null }),
  )
  .map((words) => finding(...words))
const anyFindings = fc.array(anyFinding, { maxLength: 40 })

describe("joining a survey's own findings with those against prior tests", () => {
  it('puts the urgent first, then warnings, then notices, each in the order of the catalogue', () => {
    const merged = mergeFindings(
      [finding('limit-exceeded', 'warning'), finding('lead-effect', 'notice')],
      [
        finding('site-wide-shift', 'notice'),
        finding('decimal-slip', 'warning'),
        finding('earth-left-open', 'urgent'),
      ],
    )
    expect(merged.map((f) => f.code)).toEqual([
      'earth-left-open',
      'decimal-slip',
      'limit-exceeded',
      'lead-effect',
      'site-wide-shift',
    ])
  })

  it('keeps the graver of two findings of one code, then the surer, then the own one', () => {
    const own = finding('limit-exceeded', 'warning', 0.99)
    const urgent = finding('limit-exceeded', 'urgent', 0.5)
    expect(mergeFindings([own], [urgent])).toEqual([urgent])
    expect(mergeFindings([urgent], [own])).toEqual([urgent])
    const surer = finding('decimal-slip', 'warning', 0.9)
    const vaguer = finding('decimal-slip', 'warning', null)
    expect(mergeFindings([vaguer], [surer])).toEqual([surer])
    const sameAgain = { ...surer, message: 'from history' }
    expect(mergeFindings([surer], [sameAgain])[0]).toBe(surer)
  })

  it('never loses a code, never doubles one, and never quietens one', () => {
    fc.assert(
      fc.property(anyFindings, anyFindings, (own, fromHistory) => {
        const all = [...own, ...fromHistory]
        const merged = mergeFindings(own, fromHistory)
        const codes = merged.map((f) => f.code)
        expect(new Set(codes).size).toBe(codes.length)
        expect(new Set(codes)).toEqual(new Set(all.map((f) => f.code)))
        for (const f of all) {
          const kept = merged.find((m) => m.code === f.code)!
          expect(SEVERITIES.indexOf(kept.severity)).toBeGreaterThanOrEqual(SEVERITIES.indexOf(f.severity))
        }
      }),
    )
  })

  it('lets the answer to a doubt stand in for a warning, and never for what is urgent', () => {
    const answer = { ...finding('readings-disagree', 'notice'), evidence: { answersOwnDoubt: true } }
    const doubt = finding('readings-disagree', 'warning', 0.8)
    const urgent = finding('readings-disagree', 'urgent', 0.8)
    expect(mergeFindings([doubt], [answer])).toEqual([answer])
    expect(mergeFindings([answer], [doubt])).toEqual([answer])
    expect(mergeFindings([urgent], [answer])).toEqual([urgent])
    expect(mergeFindings([answer], [urgent])).toEqual([urgent])
  })

  it('does not depend on the order in which findings of different codes come, and merging again changes nothing', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(anyFinding, { selector: (f) => f.code, maxLength: 20 }),
        fc.nat(20),
        (all, cut) => {
          const merged = mergeFindings(all.slice(0, cut), all.slice(cut))
          expect(mergeFindings([...all].reverse(), [])).toEqual(merged)
          expect(mergeFindings(merged, [])).toEqual(merged)
        },
      ),
    )
  })
})
