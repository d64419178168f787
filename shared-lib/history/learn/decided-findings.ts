import type { FindingCode } from '../../survey/finding.ts'
import type { Assessment, Decision, DecisionAction, ElectrodeRecord } from '../assessment.ts'
import { RECORD_CODES, rulingDecisions } from '../timeline.ts'

/** One finding that somebody has decided, with the chance it was told with. */
export interface DecidedFinding {
  code: FindingCode
  stated: number
  confirmed: boolean
}

/** What a decision says of a finding by itself: that it was true, or that it was not. The other actions say neither. */
export const SAID_TRUE: Partial<Record<DecisionAction, boolean>> = {
  confirm: true,
  repaired: true,
  accept: false,
}

/**
 * What an operator's decisions say of a site's findings. Confirmed or repaired: it was true; accepted as it stands: it was not. A survey
 * set aside confirms a finding that the record is wrong and says nothing of the earth; a retest that was asked for is no answer yet.
 * Findings that this judgement does not raise are left out: nobody knows how sure they were.
 */
export function decidedFindings(
  electrodes: readonly ElectrodeRecord[],
  assessments: Readonly<Record<string, Assessment>>,
): DecidedFinding[] {
  return electrodes.flatMap(({ electrode, decisions }) => {
    const findings = assessments[electrode.electrodeId]?.findings ?? {}
    return rulingDecisions(decisions).flatMap((d): DecidedFinding[] => {
      const confirmed = answer(d)
      const finding = findings[d.surveyRef]?.find((f) => f.code === d.code && f.severity !== 'notice')
      if (confirmed === null || !finding || finding.probability === null) return []
      return [{ code: d.code, stated: finding.probability, confirmed }]
    })
  })
}

function answer({ action, code }: Decision): boolean | null {
  const aboutTheRecord = RECORD_CODES.has(code) || code === 'implausible-for-electrode'
  return SAID_TRUE[action] ?? (action === 'set-aside' && aboutTheRecord ? true : null)
}
