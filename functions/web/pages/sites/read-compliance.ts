import { limitsFor } from '../../../../shared-lib/evaluate/choose-limit.ts'
import { contextInForce } from '../../../../shared-lib/evaluate/in-force.ts'
import type { SurveyRecord } from '../../../../shared-lib/ledger/kept/survey.ts'
import type { Ledger } from '../../../../shared-lib/ledger/ledger.ts'
import type { Standing } from '../../../../shared-lib/ledger/standing.ts'
import type { Calibration, Electrode } from '../../../../shared-lib/survey/register.ts'

/** One electrode of a compliance summary: its newest test with what it was judged by. */
export interface ComplianceRow {
  electrode: Electrode
  /** Absent: nothing was ever compared for it. */
  standing?: Standing
  /** The stored survey of its newest test; absent: never tested. */
  record?: SurveyRecord
  /** The limit that the newest test was held against, or that a first test would be. */
  limitOhm: number | null
  /** Where that limit comes from, as the register says it; '' when it does not. */
  limitBasis: string
  /** The instrument's calibration in force at the newest test. */
  calibration?: Calibration
}

type Books = Pick<Ledger, 'getSurveys' | 'getManyBooks' | 'getCalibrations'>

/**
 * The newest test of each electrode with limit, basis and calibration in force when it was made, in the order given. Asks the store
 * in batches: the cost grows with the electrodes, not with their histories.
 */
export async function readCompliance(
  ledger: Books,
  electrodes: readonly Electrode[],
  standings: ReadonlyMap<string, Standing>,
  nowIso: string,
): Promise<ComplianceRow[]> {
  const newest = electrodes.flatMap(({ electrodeId }) => {
    const test = standings.get(electrodeId)?.test
    return test
      ? [{ subject: { kind: 'electrode' as const, id: electrodeId }, surveyRef: test.surveyRef }]
      : []
  })
  const [records, books] = await Promise.all([
    ledger.getSurveys(newest),
    ledger.getManyBooks(electrodes.map((e) => e.electrodeId)),
  ])
  const byElectrode = new Map(records.map((r) => [r.subject.id, r]))
  const calibrations = await calibrationsOf(ledger, records)
  return electrodes.map((electrode) => {
    const { electrodeId } = electrode
    const standing = standings.get(electrodeId)
    const record = byElectrode.get(electrodeId)
    const book = books.get(electrodeId)
    const context = contextInForce(record?.survey ?? { testedAt: nowIso }, {
      versions: book?.record.versions ?? [{ from: '', electrode }],
      limits: book?.limits ?? [],
      calibrations,
    })
    const asked = record?.survey ?? FIRST_TEST
    const applied = context ? limitsFor(asked, context)[0] : undefined
    // What the judgement was made by stands: the register may have changed since.
    const limitOhm = record ? record.judged.limitOhm : (applied?.limitOhm ?? null)
    return {
      electrode,
      ...(standing ? { standing } : {}),
      ...(record ? { record } : {}),
      limitOhm,
      limitBasis: applied && applied.limitOhm === limitOhm ? basisOf(applied) : '',
      ...(context?.calibration ? { calibration: context.calibration } : {}),
    }
  })
}

/** What an electrode that was never tested would be tested as. */
const FIRST_TEST = { method: 'fall-of-potential', measuredAs: 'electrode-alone' } as const

const basisOf = ({ basis, purpose }: { basis: string | null; purpose: string }): string =>
  [purpose === 'register' ? null : purpose, basis].filter(Boolean).join(': ')

async function calibrationsOf(
  ledger: Pick<Ledger, 'getCalibrations'>,
  records: readonly SurveyRecord[],
): Promise<Calibration[]> {
  const instruments = new Set(records.flatMap((r) => r.survey.instrumentId ?? []))
  return (await Promise.all([...instruments].map((id) => ledger.getCalibrations(id)))).flat()
}
