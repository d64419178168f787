/** What is true of every survey and was planted in it: for tests and tuning, never read by the program. */
import { PLANTED_KINDS, type PlantedKind } from './draft.ts'
import { FILES } from './files.ts'
import { SEED } from './random.ts'
import { SITES } from './site-list.ts'
import type { ListedSurvey } from './survey-list.ts'

const MEANING: Record<PlantedKind, string> = {
  corrosion: 'the electrode is being eaten away: a slow rise over several tests; labelled from 5 % on',
  'broken-conductor': 'part of the electrode has come off: a step up that stays until repaired',
  'open-earth': 'the earth is cut through: every reading over range, both stakes good',
  'link-not-closed': 'the sheet does not say that the earth was put back, or says that it was not',
  'slipped-decimal': 'readings ten times too high or too low, all or one',
  'unit-slip': 'readings a thousand times too high or too low',
  'repeated-sheet': 'readings copied from the sheet before',
  'wrong-electrode': 'readings taken at another electrode of the site',
  'parallel-path': 'something was still connected: far too low',
  'close-current-probe': 'the current probe stood under 2.5 times the electrode’s size away',
  'readings-out-of-order': 'readings written on the wrong lines',
  'bad-set-up': 'a stake too resistive or stray voltage, told by the instrument',
  'instrument-gone-off': 'the instrument reads 16 % high in all its tests',
  'past-calibration': 'the instrument’s calibration had run out',
  'dry-summer': 'a drought lifts the whole site',
  'hard-frost': 'frozen ground lifts the whole site, shallow electrodes most',
  'recorded-work': 'first test after work that the works table records',
  'loose-bond': 'a bond far above its limit',
  'not-made': 'the test could not be made',
}

function entryOf({ survey, draft, dialect }: ListedSurvey): object {
  return {
    surveyRef: survey.surveyRef,
    ...(survey.electrodeId ? { electrodeId: survey.electrodeId } : {}),
    ...(survey.siteId
      ? { siteId: survey.siteId }
      : draft.electrode
        ? { siteId: draft.electrode.site.siteId }
        : {}),
    file: FILES[dialect],
    measuredAs: survey.measuredAs,
    ...(draft.trueOhm === undefined ? {} : { trueOhm: Number(draft.trueOhm.toPrecision(4)) }),
    planted: draft.planted,
  }
}

/** JSON with one survey a line, so that a change shows line by line. */
export function truthText(surveys: readonly ListedSurvey[]): string {
  const counts = Object.fromEntries(
    PLANTED_KINDS.map((kind) => [
      kind,
      surveys.filter(({ draft }) => draft.planted.some((one) => one.kind === kind)).length,
    ]),
  )
  const head = {
    about:
      'Invented data. What was planted in the surveys of the sample operator, and the true resistance behind each.',
    seed: SEED,
    trueOhm:
      'ohm, what a perfect test would have read of what measuredAs names; of an open earth, as if it were whole',
    kinds: MEANING,
    surveysWith: counts,
    soils: SITES.map(({ siteId, soil }) => ({ siteId, ...soil })),
  }
  const lines = surveys.map((one) => `    ${JSON.stringify(entryOf(one))}`).join(',\n')
  return `${JSON.stringify(head, null, 2).slice(0, -2)},\n  "surveys": [\n${lines}\n  ]\n}\n`
}
