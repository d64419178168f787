/** All surveys with their references, as the crews would hand them in. */
import type { Survey } from '../../shared-lib/survey/survey.ts'
import { isoDay } from './day.ts'
import type { Draft } from './draft.ts'
import { extraDrafts } from './extra-tests.ts'
import { inOrder } from './label.ts'
import { stamp } from './paperwork.ts'
import { electrodeDrafts } from './round.ts'
import type { Dialect } from './site.ts'

export interface ListedSurvey {
  survey: Survey
  draft: Draft
  dialect: Dialect
}

/** How each crew writes the time: with its offset, in the site's own time, or the day alone. */
function testedAt(of: Draft): string {
  if (of.dialect === 'semicolon') return isoDay(of.day)
  return stamp(of.day, of.minute, of.dialect === 'long' ? of.offset : '')
}

/** Methods with one reading and no potential probe need the long form. */
function dialectOf(of: Draft): Dialect {
  const staked = of.survey.currentProbeM !== undefined || of.survey.outcome !== 'tested'
  return staked ? of.dialect : 'long'
}

/** Numbered from 1 in order of date. */
export function listSurveys(): ListedSurvey[] {
  const drafts = [...electrodeDrafts(), ...extraDrafts()].toSorted(inOrder)
  const refs = new Map(drafts.map((draft, i) => [draft, `DEMO-S-${String(i + 1).padStart(4, '0')}`]))
  return drafts.map((draft) => {
    const repeatOf = draft.repeatOf && refs.get(draft.repeatOf)
    const secondDirectionOf = draft.secondDirectionOf && refs.get(draft.secondDirectionOf)
    const survey: Survey = {
      surveyRef: refs.get(draft)!,
      testedAt: testedAt(draft),
      ...(repeatOf ? { repeatOf } : {}),
      ...(secondDirectionOf ? { secondDirectionOf } : {}),
      ...draft.survey,
    }
    return { survey, draft, dialect: dialectOf(draft) }
  })
}
