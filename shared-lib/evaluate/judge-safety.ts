import type { Survey } from '../survey/survey.ts'
import type { Verdict } from './verdict.ts'
import { inOhm } from './wording.ts'

/** Was the earth put back? The one question whose answer cannot wait. */
export function judgeEarthClosed(survey: Survey, verdict: Verdict): void {
  const stillOpen = survey.linkChecked === 'still-open'
  const openedOnly =
    survey.linkOpenedAt !== undefined &&
    survey.linkClosedAt === undefined &&
    (survey.linkChecked === undefined || survey.linkChecked === 'not-opened')
  if (!stillOpen && !openedOnly) return
  verdict.find(
    {
      code: 'earth-left-open',
      severity: 'urgent',
      probability: stillOpen ? 0.99 : 0.5,
      message: stillOpen
        ? 'The link is recorded as still open, so this earth is not in service. Keep clear of the installation, tell the person in control now, and stay until the link is closed and measured.'
        : `The link was opened (${survey.linkOpenedAt?.slice(0, 16).replace('T', ' ')}) and no closing is recorded. Ask the crew and the person in control now whether the earth is back, and have the closing time and the name recorded.`,
      advice: [
        'Phone the person in control.',
        'Have the link closed and its tightness and continuity measured.',
        'Record when it was closed and by whom.',
      ],
      evidence: {
        linkOpenedAt: survey.linkOpenedAt,
        linkClosedAt: survey.linkClosedAt,
        linkChecked: survey.linkChecked,
        restoredBy: survey.restoredBy,
      },
    },
    'link',
    'energised',
  )
}

/** What the tester saw of the earth: one that is broken or gone is none, whatever was measured beside it. */
export function judgeSeen(survey: Survey, measuredOhm: number | null, verdict: Verdict): void {
  if (survey.visual !== 'broken' && survey.visual !== 'stolen') return
  verdict.notForTrend(`The earth was seen ${survey.visual}.`)
  if (verdict.findings.some((finding) => finding.code === 'electrode-open-suspected')) return
  const value = measuredOhm === null ? '' : `; the ${inOhm(measuredOhm)} measured may come by another path`
  verdict.find(
    {
      code: 'electrode-open-suspected',
      severity: 'urgent',
      // Seen, not estimated.
      probability: null,
      message: `The tester saw this earth ${survey.visual}${value}. Treat it as missing, keep clear, phone the person in control and stay until they take over.`,
      advice: [
        'Keep clear of the installation and treat it as unearthed.',
        'Phone the person in control.',
        'Touch no loose end: it may be live.',
      ],
      evidence: { visual: survey.visual, resistanceOhm: measuredOhm ?? undefined },
    },
    'energised',
    'link',
  )
}

/** Every reading over range while no stake was found bad: the earth itself may be broken. `judgeLostReadings` handles the rest. */
export function judgeOpenElectrode(survey: Survey, verdict: Verdict): boolean {
  const all = survey.readings
  if (all.length === 0 || !all.every((reading) => reading.condition === 'over-range')) return false
  const bounds = all.map((reading) => reading.atLeastOhm).filter((value) => value !== undefined && value > 0)
  const atLeastOhm = bounds.length ? Math.max(...(bounds as number[])) : undefined
  const stakesMeasured = survey.probeHOhm !== undefined && survey.probeSOhm !== undefined
  verdict.find(
    {
      code: 'electrode-open-suspected',
      severity: 'urgent',
      probability: stakesMeasured ? 0.9 : 0.7,
      message: `All ${all.length} readings are beyond range${atLeastOhm === undefined ? '' : ` (at least ${atLeastOhm} ohm)`} and no stake was found bad, so this earth may be broken. Treat it as missing, keep clear, phone the person in control and stay until they take over.`,
      advice: [
        'Keep clear of the installation and treat it as unearthed.',
        'Phone the person in control.',
        'Check the lead to the electrode and its clamp, then repeat one reading.',
      ],
      evidence: {
        readings: all.length,
        atLeastOhm,
        probeHOhm: survey.probeHOhm,
        probeSOhm: survey.probeSOhm,
      },
    },
    'energised',
    'link',
  )
  verdict.refuse('Every reading is over range: there is no value, only a lower bound.')
  return true
}
