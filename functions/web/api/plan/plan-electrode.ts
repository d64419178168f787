import { type SiteSoil, soilOfSite } from '../../../../shared-lib/earth/site-soil.ts'
import type { ElectrodeFile } from '../../../../shared-lib/ledger/kept/electrode.ts'
import { type CauseFirst, causesFirst } from '../../../../shared-lib/plan/cause-first.ts'
import { type NoPlan, planSurvey, type SurveyPlan } from '../../../../shared-lib/plan/plan-survey.ts'
import { type Remedy, remediesFor } from '../../../../shared-lib/plan/remedies.ts'
import type { WebDeps } from '../../deps.ts'

/** The plan of one registered electrode, with its site's soil, and what would help where its newest result is above its limit. */
export interface ElectrodePlan {
  plan: SurveyPlan | NoPlan
  siteSoil: SiteSoil | null
  /** The newest result of the electrode alone and its limit; null when there is none. */
  newest: { surveyRef: string; testedAt: string; resistanceOhm: number; limitOhm: number | null } | null
  /** What stands open and must be understood before any remedy, gravest first. */
  causesFirst: CauseFirst[]
  remedies: Remedy[]
}

/** `roomM` absent: the distance the register says is usual there does not limit it; there is room. */
export async function planElectrode(
  deps: Pick<WebDeps, 'ledger'>,
  file: ElectrodeFile,
  roomM: number | undefined,
): Promise<ElectrodePlan> {
  const { electrode } = file.record
  const soundings = await deps.ledger.listSurveysOf({ kind: 'site', id: electrode.siteId })
  const siteSoil = soilOfSite(soundings.map(({ survey }) => survey))
  const plan = planSurvey({
    ...electrode,
    ...(roomM === undefined ? {} : { roomM }),
    ...(siteSoil ? { soil: siteSoil } : {}),
  })
  const newest = newestResult(file)
  const remedies =
    newest === null || newest.limitOhm === null
      ? []
      : remediesFor({
          electrode,
          measuredOhm: newest.resistanceOhm,
          limitOhm: newest.limitOhm,
          ...(siteSoil ? { soil: siteSoil } : {}),
        })
  const open = file.findings.filter(({ state }) => state === 'open')
  return { plan, siteSoil, newest, causesFirst: causesFirst(open), remedies }
}

function newestResult(file: ElectrodeFile): ElectrodePlan['newest'] {
  const alone = file.surveys
    .filter(({ survey, judged }) => survey.measuredAs !== 'connected' && judged.resistanceOhm !== null)
    .filter(({ survey }) => survey.measuredAs !== 'part-of-system' && survey.method !== 'two-point')
  const [first] = alone.sort((a, b) => Date.parse(b.survey.testedAt) - Date.parse(a.survey.testedAt))
  if (!first) return null
  return {
    surveyRef: first.survey.surveyRef,
    testedAt: first.survey.testedAt,
    resistanceOhm: first.judged.resistanceOhm!,
    limitOhm: first.judged.limitOhm ?? file.record.electrode.limitOhm ?? null,
  }
}
