import type { HandInDesk } from '../../shared-lib/ledger/hand-in.ts'
import type { MetricName } from '../../shared-lib/ports/cloud/metric-names.ts'
import type { Log } from '../../shared-lib/ports/handle-batch.ts'

const COUNTED: Record<string, MetricName> = {
  stored: 'SurveysStored',
  'already-there': 'SurveysRepeated',
  held: 'SurveysHeld',
  conflict: 'SurveysRefused',
}

/** The same desk, and a log line for each survey handed in singly: what became of it, not what it says. */
export function countSurveys(desk: HandInDesk, log: Log): HandInDesk {
  return {
    ...desk,
    async handIn(survey, origin, ...more) {
      const handedIn = await desk.handIn(survey, origin, ...more)
      const name = COUNTED[handedIn.kind]
      log({
        level: 'info',
        message: 'survey handed in',
        outcome: handedIn.kind,
        via: origin.via,
        ...(name === undefined ? {} : { counts: { [name]: 1 } }),
      })
      return handedIn
    },
  }
}
