import type { CauseFirst } from '../../../shared-lib/plan/cause-first.ts'
import type { LayOut, Stake } from '../../../shared-lib/plan/lay-outs.ts'
import type { SurveyPlan } from '../../../shared-lib/plan/plan-survey.ts'
import type { Remedy } from '../../../shared-lib/plan/remedies.ts'

const ADVISED: Record<SurveyPlan['advised'], string> = {
  short: 'the short survey will do',
  full: 'take the full survey',
  'another-method': 'too near for this method',
}

const LAY_OUTS: Record<LayOut['name'], string> = {
  short: 'short survey',
  full: 'full survey',
  'equal-leads': 'equal leads',
  'right-angle': 'right angle',
}

/** A table of stakes that reads the same on paper. */
function stakeLine(name: string, stakes: readonly Stake[]): string {
  const cells = stakes.map((s) => `${s.distanceM} m (${s.percent} %)`)
  return `  ${name.padEnd(15)}${cells.join(', ')}`
}

function layOutLine(way: LayOut): string {
  return `  ${LAY_OUTS[way.name].padEnd(15)}± ${way.doubtPercent} %  ${way.words}`
}

/** The plan as lines for a person. */
export function planLines(plan: SurveyPlan): string[] {
  const times = plan.timesSize >= 10 ? plan.timesSize.toFixed(0) : plan.timesSize.toFixed(1)
  const { expected } = plan
  return [
    `Current probe at ${plan.currentProbeM} m: ${times} times the electrode's ${plan.sizeM} m; ${ADVISED[plan.advised]}.`,
    ...(plan.currentProbeM < plan.wantedCurrentProbeM
      ? [
          `With more room: ${plan.wantedCurrentProbeM} m. There the best lay-out leaves ± ${plan.wantedDoubtPercent} % in doubt.`,
        ]
      : []),
    ...(expected
      ? [
          `In this soil it should read about ${expected.resistanceOhm.toPrecision(3)} ohm (${expected.formula}).`,
        ]
      : []),
    ...(plan.rightPlacePercent === undefined
      ? []
      : [`The reading is right at about ${plan.rightPlacePercent} % of the distance.`]),
    '',
    'Potential probe, from the electrode:',
    stakeLine('short survey', plan.short),
    stakeLine('full survey', plan.full),
    '',
    'Doubt (k = 2) left by distances and soil alone, the instrument comes on top:',
    ...plan.layOuts.map(layOutLine),
    '',
    `Leads to bring: ${plan.leads.currentM} m for the current probe, ${plan.leads.potentialM} m for the potential probe, ${plan.leads.earthM} m to the electrode.`,
    '',
    'In this order:',
    ...plan.advice.map((line, n) => `  ${n + 1}. ${line}`),
    '',
    'Second direction:',
    `  ${plan.secondDirection.words}`,
    '',
    'Before you begin:',
    ...plan.cautions.map((line) => `  - ${line}`),
    '',
    plan.basis,
  ]
}

/** What must be found out before any remedy, ahead of everything else. */
export function causeLines(cause: Pick<CauseFirst, 'message' | 'why' | 'advice' | 'cautions'>): string[] {
  return [
    'Find the cause first:',
    `  ${cause.message}`,
    `  ${cause.why}`,
    ...cause.advice.map((line, n) => `  ${n + 1}. ${line}`),
    ...cause.cautions.map((caution) => `     ${caution}`),
    '',
  ]
}

/** What may bring a failing electrode under its limit, as lines; says so when nothing was found. */
export function remedyLines(remedies: readonly Remedy[]): string[] {
  if (remedies.length === 0)
    return ['', 'It is at or under its limit, or too little is known to compute a remedy.']
  return [
    '',
    'What may bring it under the limit, in the order to try:',
    ...remedies.flatMap((remedy, n) => {
      const doubt = remedy.doubtPercent === null ? '' : ` ± ${remedy.doubtPercent.toFixed(0)} %`
      const after =
        remedy.resistanceOhm === null ? '' : ` About ${remedy.resistanceOhm.toPrecision(3)} ohm${doubt}`
      const chance =
        remedy.chance === null ? '' : `, chance of passing ${Math.round(100 * remedy.chance)} % (an estimate)`
      return [
        `  ${n + 1}. ${remedy.words}${after}${chance}${after === '' ? '' : '.'} By ${remedy.basis}.`,
        ...remedy.cautions.map((caution) => `     ${caution}`),
      ]
    }),
  ]
}
