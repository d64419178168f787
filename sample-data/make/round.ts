/** The ten years put together: the rounds as planned, what the story does to them, and the tests that follow from it. */
import { dayOf } from './day.ts'
import type { Draft } from './draft.ts'
import { notMade, withFault } from './faults.ts'
import { labelled } from './label.ts'
import { practised } from './practice.ts'
import { randomFor } from './random.ts'
import { AFTER_FAULT, WORKS } from './story-earth.ts'
import { NOT_MADE, SHEET_EVENTS, type SheetEvent } from './story-sheets.ts'
import { crewOn, type PlannedTest, plannedTests, workingDay } from './visit.ts'

const idOf = (test: PlannedTest) => test.electrode.register.electrodeId

/** The first planned test of that electrode on or after the day. Throws when the story outlives the rounds. */
function testFor(planned: readonly PlannedTest[], electrodeId: string, on: string): PlannedTest {
  const from = dayOf(on)
  const found = planned.find((test) => idOf(test) === electrodeId && test.day >= from)
  if (!found) throw new Error(`no test of ${electrodeId} on or after ${on}`)
  return found
}

function eventsByTest<E extends { electrodeId: string; on: string }>(
  planned: readonly PlannedTest[],
  events: readonly E[],
): Map<PlannedTest, E> {
  return new Map(events.map((event) => [testFor(planned, event.electrodeId, event.on), event]))
}

/** A test some days after another, by whoever is on duty. */
function later(
  test: PlannedTest,
  fromDay: number,
  days: number,
  purpose: PlannedTest['purpose'],
): PlannedTest {
  const day = workingDay(fromDay + days, 0)
  return {
    ...test,
    day,
    minute: (test.minute % 300) + 520,
    crew: crewOn(test.electrode.site, day),
    purpose,
    full: false,
  }
}

/** Tests after recorded work; the sheet says what was done since the last one. */
function afterWork(planned: readonly PlannedTest[]): Draft[] {
  return WORKS.flatMap((work) => {
    const { retestDays, what } = work
    if (retestDays === undefined || what === 'disturbed' || what === 'stolen') return []
    const like = planned.find((test) => idOf(test) === work.electrodeId)!
    const draft = practised(later(like, dayOf(work.doneOn), retestDays, 'after-repair'))
    return [{ ...draft, survey: { ...draft.survey, event: what } }]
  })
}

/** Tests after a stroke of lightning or a line fault. */
function afterFault(planned: readonly PlannedTest[]): Draft[] {
  return AFTER_FAULT.map(({ electrodeId, on, notes }) => {
    const like = planned.find((test) => idOf(test) === electrodeId)!
    const draft = practised(later(like, dayOf(on), 0, 'after-fault'))
    return { ...draft, survey: { ...draft.survey, notes } }
  })
}

/** A second line square to the first, to show that nothing buried runs along it. */
function secondDirection(test: PlannedTest, first: Draft): Draft[] {
  const wanted = first.survey.method === 'fall-of-potential' && first.planted.length === 0
  if (!wanted || !randomFor('second', idOf(test), test.day).chance(0.018)) return []
  const lineDirection = `square to ${first.survey.lineDirection ?? 'the first'}`
  const again = practised({ ...test, minute: test.minute + 34, full: false }, { lineDirection })
  const { linkOpenedAt, linkClosedAt } = first.survey
  // The link was opened once for both lines.
  const link = {
    ...(linkOpenedAt ? { linkOpenedAt } : {}),
    ...(again.survey.linkClosedAt ? { linkClosedAt: again.survey.linkClosedAt } : {}),
  }
  first.survey = {
    ...first.survey,
    ...(linkClosedAt && link.linkClosedAt ? { linkClosedAt: link.linkClosedAt } : {}),
  }
  return [{ ...again, survey: { ...again.survey, ...link }, secondDirectionOf: first }]
}

function retest(test: PlannedTest, event: SheetEvent, first: Draft): Draft[] {
  if (event.retestDays === undefined) return []
  return [{ ...practised(later(test, test.day, event.retestDays, 'investigation')), repeatOf: first }]
}

/** Every survey of an electrode, in order of date, labelled. */
export function electrodeDrafts(): Draft[] {
  const planned = plannedTests()
  const faults = eventsByTest(planned, SHEET_EVENTS)
  const missed = eventsByTest(planned, NOT_MADE)
  const drafts: Draft[] = [...afterWork(planned), ...afterFault(planned)]
  const previous = new Map<string, Draft>()
  const sound = (near: PlannedTest, electrodeId: string) => {
    const other = planned.find((test) => idOf(test) === electrodeId && Math.abs(test.day - near.day) <= 3)
    return other ? practised(other) : undefined
  }
  for (const test of planned) {
    const event = faults.get(test)
    const reason = missed.get(test)
    if (reason) {
      drafts.push(notMade(reason, test))
      continue
    }
    const draft = event
      ? withFault(event, test, { previous: previous.get(idOf(test)), soundTestOf: (id) => sound(test, id) })
      : practised(test)
    previous.set(idOf(test), draft)
    drafts.push(draft, ...(event ? retest(test, event, draft) : secondDirection(test, draft)))
  }
  return labelled(drafts)
}
