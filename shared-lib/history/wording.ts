import type { Finding, FindingCode, Severity } from '../survey/finding.ts'
import { type Comparison, ohms, rounded, times } from './comparison.ts'

/**
 * The sentences of the findings against prior tests: the first says what is seen with its numbers, the second what to do now.
 * Nothing here decides anything.
 */

const OPEN_NOTHING =
  'Open no link for this without the person in control of the system: local rules and licensed practice come first.'
const SAME_LINE = 'Repeat the test within 14 days on the same line with the same stake distances.'
const SHEET = 'Compare the record with the paper sheet or the instrument memory.'

interface Words {
  severity: Severity
  seen: (c: Comparison) => string
  todo: string
  advice: string[]
}

const against = (c: Comparison) =>
  `${ohms(c.resistanceOhm)} against ${ohms(c.expectedOhm)} expected from ${c.earlier.length === 1 ? 'one earlier test' : `${c.earlier.length} earlier tests`}${c.neighbours > 0 ? ` and ${c.neighbours} neighbour${c.neighbours === 1 ? '' : 's'}` : ''}`

const WORDS: Partial<Record<FindingCode, Words>> = {
  'decimal-slip': {
    severity: 'warning',
    seen: (c) =>
      c.ratio > 1
        ? `${against(c)} is about ten times too high: either this earth is failing, or the decimal point slipped.`
        : `${against(c)} is about ten times too low: either something else was still connected, or the decimal point slipped.`,
    todo: 'Treat it as real until the sheet has been checked; correct the record if the point slipped, otherwise repeat the test.',
    advice: [SHEET, SAME_LINE, OPEN_NOTHING],
  },
  'unit-slip': {
    severity: 'warning',
    seen: (c) =>
      `${against(c)} is about a thousand times ${c.ratio > 1 ? 'too high' : 'too low'}, as when milliohm, ohm or kilohm are mixed up.`,
    todo: 'Check the unit on the sheet and hand in a correction.',
    advice: [SHEET, SAME_LINE],
  },
  'implausible-for-electrode': {
    severity: 'warning',
    seen: (c) =>
      `${ohms(c.resistanceOhm)} lies outside the ${ohms(c.expectedLowOhm)} to ${ohms(c.expectedHighOhm)} that an electrode of this kind and size should have here, and there is no earlier test.`,
    todo: 'Check the record, the unit and the register, then repeat the test.',
    advice: [SHEET, 'Check kind, length and size of the electrode in the register.', SAME_LINE],
  },
  'step-rise': {
    severity: 'warning',
    seen: (c) => `${against(c)}: a rise to ${times(c.ratio)} in one step.`,
    todo: 'Look at the earth conductor and its joints and repeat the test within 14 days on the same line.',
    advice: [SAME_LINE, 'Look for a loose, cut or stolen conductor and a corroded joint.', OPEN_NOTHING],
  },
  'step-fall': {
    severity: 'warning',
    seen: (c) => `${against(c)}: a fall to ${times(c.ratio)} that has stayed.`,
    todo: 'Find out what was added or connected; record the work, or record the test as `connected`.',
    advice: [
      'Ask what work was done on this earth and record it.',
      'Ask the person in control whether something is bonded to it now.',
      OPEN_NOTHING,
    ],
  },
  'parallel-path-suspected': {
    severity: 'warning',
    seen: (c) => `${against(c)}: so large a fall most often means that something else was still connected.`,
    todo: 'Open nothing; ask the person in control what was connected, and record `connected` if it was.',
    advice: [
      'Ask whether the electrode was separated from the installation during the test.',
      'If it cannot be separated, use a method that allows it and record what was connected.',
      OPEN_NOTHING,
    ],
  },
  'improvement-unexplained': {
    severity: 'warning',
    seen: (c) => `${against(c)}: better than before, with no work recorded.`,
    todo: 'Record the work if there was any; otherwise ask whether something was still connected.',
    advice: ['Record any repair or extension with its date.', SAME_LINE, OPEN_NOTHING],
  },
  'wrong-electrode': {
    severity: 'warning',
    seen: (c) => `${against(c)}, while it fits another electrode of the same site.`,
    todo: 'Check the electrode number on the sheet against the tag on site and hand in a correction.',
    advice: ['Check the tag and the electrode number of every test made here that day.', SHEET],
  },
  'rising-drift': {
    severity: 'warning',
    seen: (c) => `The resistance creeps up: ${against(c)}.`,
    todo: 'Plan an inspection of the joints and the buried conductor and a retest in the same season.',
    advice: ['Inspect clamps, joints and the first half metre below ground.', SAME_LINE, OPEN_NOTHING],
  },
  'corrosion-suspected': {
    severity: 'warning',
    seen: (c) => `${against(c)}, rising over time: part of the electrode or a joint may be going.`,
    todo: 'Have the joints and the conductor near the surface looked at; a steady value elsewhere does not show that conductors are whole.',
    advice: ['Expose and inspect the joints near the surface.', SAME_LINE, OPEN_NOTHING],
  },
}

/** Builds a finding of one of the codes above from the comparison it rests on. Extra evidence is kept beside it. */
export function comparisonFinding(
  code: FindingCode,
  c: Comparison,
  probability: number | null,
  extra: Partial<Pick<Words, 'severity' | 'todo' | 'advice'>> & {
    seen?: string
    evidence?: Record<string, unknown>
  } = {},
): Finding {
  const words = WORDS[code]
  if (!words) throw new Error(`no words for ${code}`)
  return {
    code,
    severity: extra.severity ?? words.severity,
    probability: probability === null ? null : rounded(Math.min(1, Math.max(0, probability)), 2),
    message: `${extra.seen ?? words.seen(c)} ${extra.todo ?? words.todo}`,
    advice: extra.advice ?? words.advice,
    evidence: { ...comparisonEvidence(c), ...extra.evidence },
  }
}

/** The comparison as plain JSON. */
export function comparisonEvidence(c: Comparison): Record<string, unknown> {
  return {
    resistanceOhm: rounded(c.resistanceOhm, 4),
    expectedOhm: rounded(c.expectedOhm),
    expectedRangeOhm: [rounded(c.expectedLowOhm), rounded(c.expectedHighOhm)],
    ratio: rounded(c.ratio),
    earlier: c.earlier,
    neighbours: c.neighbours,
    sharedShiftPercent: c.sharedShiftPercent === null ? null : rounded(c.sharedShiftPercent, 2),
    alternatives: c.alternatives,
  }
}
