import fc from 'fast-check'
import { expect, it } from 'vitest'
import type { DueMark } from '../../shared-lib/ledger/kept/mark.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import { measured, SEED, sized } from '../faults/measured.ts'
import { electrode, NOW, survey } from './examples.ts'
import { ledgerUnderTest } from './ledger-under-test.ts'

const under = ledgerUnderTest()

/** One electrode in the plainest words: maps in memory. */
interface Model {
  /** Limit by the moment from which it holds; the first words hold since ever. */
  versions: Map<string, number>
  surveys: Map<string, string>
  held: Map<string, string>
  /** Stamp by site, '' while it is not registered: a mark of that time waits there until somebody looks at it. */
  marks: Map<string, string>
}
interface Real {
  ledger: Ledger
  id: string
}
type Step = fc.AsyncCommand<Model, Real>

const step = (words: string, run: (model: Model, real: Real) => Promise<void>): Step => ({
  check: () => true,
  run,
  toString: () => words,
})

/** What a store that never overwrites says to a reference with content. */
function put(kept: Map<string, string>, ref: string, hash: string): 'stored' | 'already-there' | 'conflict' {
  const before = kept.get(ref)
  if (before === undefined) kept.set(ref, hash)
  return before === undefined ? 'stored' : before === hash ? 'already-there' : 'conflict'
}

let limits = 0
const register = (year: number): Step => {
  // Other words each time: what "same" means has tests of its own.
  const limitOhm = 1 + limits++
  return step(`register from ${year}`, async (model, { ledger, id }) => {
    const first = model.versions.size === 0
    const outcome = await ledger.putElectrode(electrode(id, { limitOhm }), {
      nowIso: NOW,
      validFrom: `${year}-01-01`,
    })
    expect(outcome).toBe(
      first ? 'created' : model.versions.get(fromOf(year)) === limitOhm ? 'same' : 'changed',
    )
    model.versions.set(first ? '' : fromOf(year), limitOhm)
  })
}
const fromOf = (year: number): string => `${year}-01-01T00:00:00.000Z`

const handIn = (ref: string, contentHash: string): Step =>
  step(`hand in ${ref} as ${contentHash}`, async (model, { ledger, id }) => {
    const { outcome, stored } = await ledger.putSurvey(survey(id, ref, { contentHash }))
    expect(outcome).toBe(put(model.surveys, ref, contentHash))
    expect(stored.contentHash).toBe(model.surveys.get(ref))
  })
const handInTwiceAtOnce = (ref: string): Step =>
  step(`hand in ${ref} as x and as y at once`, async (model, { ledger, id }) => {
    const sent = ['x', 'y'].map((contentHash) => ledger.putSurvey(survey(id, ref, { contentHash })))
    const answers = await Promise.all(sent)
    const won = answers.filter((a) => a.outcome === 'stored')
    expect(won).toHaveLength(model.surveys.has(ref) ? 0 : 1)
    if (won[0]) model.surveys.set(ref, won[0].stored.contentHash)
    for (const { stored } of answers) expect(stored.contentHash).toBe(model.surveys.get(ref))
  })

const heldOf = (id: string, ref: string, contentHash: string) => {
  const { survey: words, receivedFrom } = survey(id, ref)
  return { id: `h ${ref}`, electrodeId: id, survey: words, contentHash, receivedAt: NOW, receivedFrom }
}
const hold = (ref: string, contentHash: string): Step =>
  step(`hold ${ref} as ${contentHash}`, async (model, { ledger, id }) => {
    const { outcome } = await ledger.holdSurvey(heldOf(id, ref, contentHash))
    expect(outcome).toBe(put(model.held, ref, contentHash))
  })
const release = (ref: string): Step =>
  step(`release ${ref}`, async (model, { ledger, id }) => {
    await ledger.removeHeld(heldOf(id, ref, model.held.get(ref) ?? 'x'))
    model.held.delete(ref)
  })

const mark = (stamp: string): Step =>
  step(`mark ${stamp}`, async (model, { ledger, id }) => {
    await ledger.markDue([id], { stamp, nowIso: NOW })
    model.marks.set(model.versions.size === 0 ? '' : electrode(id).siteId, stamp)
  })
async function markThere(model: Model, { ledger, id }: Real): Promise<DueMark | null> {
  const there = await ledger.getMark(id)
  if (there) expect(model.marks.get(there.siteId)).toBe(there.stamp)
  else expect(model.marks.size).toBe(0)
  return there
}
/** As a comparison does: it clears the mark it read, which may be out of date by then. */
const clear = (stamp: string): Step =>
  step(`clear ${stamp}`, async (model, real) => {
    const there = await markThere(model, real)
    if (!there) return
    await real.ledger.clearMarks([{ ...there, stamp }])
    if (there.stamp === stamp) model.marks.delete(there.siteId)
  })

const look: Step = step('look', async (model, real) => {
  const { ledger, id } = real
  const record = await ledger.getElectrode(id)
  const sorted = [...model.versions].sort(([a], [b]) => (a < b ? -1 : 1))
  expect((record?.versions ?? []).map((v) => [v.from, v.electrode.limitOhm])).toEqual(sorted)
  expect(record?.electrode.limitOhm).toBe(sorted.at(-1)?.[1])
  for (const ref of ['a', 'b', 'c']) {
    const kept = await ledger.getSurvey({ kind: 'electrode', id }, ref)
    expect(kept?.contentHash).toBe(model.surveys.get(ref))
  }
  const held = (await ledger.heldFor(id)).map((h) => [h.survey.surveyRef, h.contentHash])
  expect(held.sort()).toEqual([...model.held].sort())
  await markThere(model, real)
})

it('the ledger of an electrode does what maps in memory would do, whatever is written in whatever order', async () => {
  const ref = fc.constantFrom('a', 'b', 'c')
  const hash = fc.constantFrom('x', 'y')
  const stamp = fc.constantFrom('one', 'two')
  const commands = fc.commands(
    [
      fc.integer({ min: 2020, max: 2023 }).map(register),
      fc.tuple(ref, hash).map((a) => handIn(...a)),
      ref.map(handInTwiceAtOnce),
      fc.tuple(ref, hash).map((a) => hold(...a)),
      ref.map(release),
      stamp.map(mark),
      stamp.map(clear),
      fc.constant(look),
    ],
    { maxCommands: 25, size: 'max' },
  )
  const numRuns = sized(15, 1000)
  let run = 0
  await fc.assert(
    fc.asyncProperty(commands, async (steps) => {
      const model: Model = { versions: new Map(), surveys: new Map(), held: new Map(), marks: new Map() }
      const real = { ledger: under.ledger, id: `model-${run++}` }
      await fc.asyncModelRun(() => ({ model, real }), [...steps, look])
    }),
    { numRuns, seed: SEED },
  )
  measured({
    what: 'model: the ledger of an electrode beside maps in memory, any writes in any order',
    command: 'npm run test:faults',
    count: numRuns,
    bad: { differing: 0 },
    seed: SEED,
  })
}, 900_000)
