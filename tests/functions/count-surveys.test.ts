import { expect, it } from 'vitest'
import { countSurveys } from '../../functions/web/count-surveys.ts'
import { createBooksReader } from '../../shared-lib/ledger/books.ts'
import { createDesk } from '../../shared-lib/ledger/hand-in.ts'
import { survey } from '../ledger/examples.ts'
import { ledgerUnderTest } from '../ledger/ledger-under-test.ts'

const under = ledgerUnderTest()

it('a survey handed in is counted by what became of it, and what was read of the register for it is not read again', async () => {
  const logged: Record<string, unknown>[] = []
  const clock = { nowMs: () => Date.parse('2026-05-20T12:00:00Z') }
  const desk = createDesk({
    ...{ ledger: under.ledger, clock, newId: () => crypto.randomUUID() },
    compareQueue: { send: async () => {} },
  })
  const books = createBooksReader(under.ledger)
  const asked: string[] = []
  const watched: typeof books = {
    ...books,
    electrodeOf: (id) => {
      asked.push(id)
      return books.electrodeOf(id)
    },
    booksFor: (one) => {
      asked.push(one.surveyRef)
      return books.booksFor(one)
    },
  }
  const counted = countSurveys(desk, (entry) => logged.push(entry))
  const done = await counted.handIn(
    survey('E-1', 'S-1').survey,
    { via: 'api', by: 'local:one' },
    '*',
    watched,
  )
  expect(done.kind).toBe('held')
  expect(asked.length).toBeGreaterThan(0)
  expect(logged).toMatchObject([{ outcome: 'held', via: 'api', counts: { SurveysHeld: 1 } }])
})
