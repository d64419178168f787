/** Adds to every draft what was at work on its day: damage, an instrument gone off, the weather, work done before. */
import { dayOf } from './day.ts'
import type { Draft, Planted } from './draft.ts'
import type { DemoElectrode } from './electrode.ts'
import { GONE_OFF, isGoneOff, isPastDue } from './instrument.ts'
import { damageOf, eventsOn } from './life.ts'
import { rounded } from './rounding.ts'
import { isDrySummer, isHardFrost } from './season.ts'
import { WORKS } from './story-earth.ts'

/** Corrosion is labelled from this rise on; less cannot be told from noise. */
const LEAST_RISE = 0.05

/** In order of date, then time, then subject: the order in which surveys get their numbers. */
export function inOrder(a: Draft, b: Draft): number {
  const subject = (of: Draft) => of.survey.electrodeId ?? of.survey.siteId ?? of.survey.instrumentId ?? ''
  return a.day - b.day || a.minute - b.minute || (subject(a) < subject(b) ? -1 : 1)
}

/** What the instrument and its papers add, whatever was tested. */
export function instrumentLabels(draft: Draft): Planted[] {
  const { instrumentId } = draft.survey
  if (instrumentId === undefined || draft.survey.outcome !== 'tested') return []
  const labels: Planted[] = []
  if (isGoneOff(instrumentId, draft.day))
    labels.push({ kind: 'instrument-gone-off', detail: `${instrumentId} reads times ${GONE_OFF.factor}` })
  if (isPastDue(instrumentId, draft.day))
    labels.push({ kind: 'past-calibration', detail: `${instrumentId} is past its date` })
  return labels
}

function damageLabels(of: DemoElectrode, draft: Draft, seen: Map<string, number>): Planted[] {
  return eventsOn(of, draft.day).flatMap((event): Planted[] => {
    const rise = damageOf(event, draft.day)
    if (event.kind === 'corrosion' && Math.exp(rise) - 1 < LEAST_RISE) return []
    const key = `${event.electrodeId} ${event.from}`
    const nth = seen.get(key) ?? 0
    seen.set(key, nth + 1)
    const detail =
      event.kind === 'open-earth'
        ? 'the earth is not connected'
        : `true resistance times ${rounded(Math.exp(rise), 2)}`
    return [{ kind: event.kind, detail, nth }]
  })
}

function groundLabels(of: DemoElectrode, draft: Draft): Planted[] {
  if (isHardFrost(of.site, draft.day)) return [{ kind: 'hard-frost', detail: 'ground frozen to 0.8 m' }]
  return isDrySummer(of.site, draft.day) ? [{ kind: 'dry-summer', detail: 'whole site up by some 40 %' }] : []
}

/** Work since the electrode's survey before this one. */
function workLabels(draft: Draft, since: number | undefined): Planted[] {
  return WORKS.filter((work) => {
    const day = dayOf(work.doneOn)
    return (
      work.electrodeId === draft.survey.electrodeId &&
      day <= draft.day &&
      day > (since ?? Number.NEGATIVE_INFINITY)
    )
  }).map((work) => ({ kind: 'recorded-work', detail: `${work.what} on ${work.doneOn}` }))
}

/** The drafts in order of date with all labels. */
export function labelled(drafts: readonly Draft[]): Draft[] {
  const lastDay = new Map<string, number>()
  const seen = new Map<string, number>()
  return drafts.toSorted(inOrder).map((draft) => {
    const { electrode } = draft
    if (!electrode || draft.survey.outcome !== 'tested') return draft
    const id = electrode.register.electrodeId
    const labels = [
      ...damageLabels(electrode, draft, seen),
      ...instrumentLabels(draft),
      ...groundLabels(electrode, draft),
      ...workLabels(draft, lastDay.get(id)),
    ]
    lastDay.set(id, draft.day)
    // The same object, so that whoever repeats or crosses this survey still points at it.
    draft.planted = [...draft.planted, ...labels]
    const seenOn = visualOf(draft)
    if (seenOn) draft.survey = { ...draft.survey, visual: seenOn }
    return draft
  })
}

/** What damage looks like once it can be seen. */
function visualOf(draft: Draft): 'corroded' | 'broken' | undefined {
  const of = (kind: Planted['kind']) => draft.planted.find((one) => one.kind === kind)
  if ((of('corrosion')?.nth ?? 0) >= 3) return 'corroded'
  return (of('broken-conductor')?.nth ?? 0) >= 1 ? 'broken' : undefined
}
