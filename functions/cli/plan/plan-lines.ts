import type { Stake, SurveyPlan } from '../../../shared-lib/plan/plan-survey.ts'

const ADVISED: Record<SurveyPlan['advised'], string> = {
  short: 'the short survey will do',
  full: 'take the full survey',
  'another-method': 'too near for this method',
}

/** A table of stakes that reads the same on paper. */
function stakeLine(name: string, stakes: readonly Stake[]): string {
  const cells = stakes.map((s) => `${s.distanceM} m (${s.percent} %)`)
  return `  ${name.padEnd(15)}${cells.join(', ')}`
}

/** The plan as lines for a person. */
export function planLines(plan: SurveyPlan): string[] {
  const times = plan.timesSize >= 10 ? plan.timesSize.toFixed(0) : plan.timesSize.toFixed(1)
  return [
    `Current probe at ${plan.currentProbeM} m: ${times} times the electrode's ${plan.sizeM} m; ${ADVISED[plan.advised]}.`,
    ...(plan.currentProbeM < plan.wantedCurrentProbeM
      ? [`With more room: ${plan.wantedCurrentProbeM} m.`]
      : []),
    '',
    'Potential probe, from the electrode:',
    stakeLine('short survey', plan.short),
    stakeLine('full survey', plan.full),
    '',
    `Leads to bring: ${plan.leads.currentM} m for the current probe, ${plan.leads.potentialM} m for the potential probe, ${plan.leads.earthM} m to the electrode.`,
    '',
    'In this order:',
    ...plan.advice.map((line, n) => `  ${n + 1}. ${line}`),
    '',
    'Before you begin:',
    ...plan.cautions.map((line) => `  - ${line}`),
    '',
    plan.basis,
  ]
}
