import { describe, expect, it } from 'vitest'
import { createChunkStore } from '../../functions/intake/chunk-store.ts'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { createBooksReader } from '../../shared-lib/ledger/books.ts'
import { compareSite } from '../../shared-lib/ledger/compare-site.ts'
import { createDesk } from '../../shared-lib/ledger/hand-in.ts'
import type { Ledger } from '../../shared-lib/ledger/ledger.ts'
import type { Survey } from '../../shared-lib/survey/survey.ts'
import { electrode, NOW, upload } from './examples.ts'
import { ledgerUnderTest } from './ledger-under-test.ts'

const under = ledgerUnderTest()
const clock = { nowMs: () => Date.parse(NOW) }
let counter = 0
const newId = () => `first${counter++}`

const survey = (electrodeId: string, nth: number, ohm = 10): Survey => ({
  ...{ surveyRef: `S-${nth}`, electrodeId, method: 'fall-of-potential', outcome: 'tested' },
  ...{ testedAt: new Date(Date.UTC(2010 + nth, 4, 3, 9)).toISOString(), measuredAs: 'electrode-alone' },
  ...{ currentProbeM: 40, tester: 'crew 2' },
  readings: [0.52, 0.62, 0.72].map((share, i) => ({
    ...{ potentialProbeM: 40 * share, resistanceOhm: ohm * (0.985 + 0.015 * i), condition: 'ok' as const },
  })),
})

/** A ledger that tells which electrodes were read as a whole. */
function watched(ledger: Ledger): { ledger: Ledger; readWhole: string[] } {
  const readWhole: string[] = []
  const readElectrodeFile: Ledger['readElectrodeFile'] = (id) => {
    readWhole.push(id)
    return ledger.readElectrodeFile(id)
  }
  return { ledger: { ...ledger, readElectrodeFile }, readWhole }
}

async function site(siteId: string, ids: readonly string[]) {
  const { ledger, readWhole } = watched(under.ledger)
  for (const id of ids) await ledger.putElectrode(electrode(id, { siteId, limitOhm: 25 }), { nowIso: NOW })
  return {
    ledger,
    readWhole,
    desk: createDesk({ ledger, compareQueue: { send: async () => {} }, clock, newId }),
    takeIn: (uploadId: string, surveys: readonly Survey[]) =>
      createChunkStore({ ledger, books: createBooksReader(ledger), clock, newId })(
        upload(uploadId),
        surveys.map((each, place) => ({
          ...{ kind: 'survey' as const, survey: each, firstRow: place + 2, lastRow: place + 2, place },
        })),
      ),
    compare: () =>
      compareSite(
        {
          ...{ ledger, parameters: defaultParameters, newId, nowIso: () => NOW },
          ...{ beforeNews: async () => {}, afterNews: async () => {} },
        },
        siteId,
        [],
      ),
    refsOf: async (id: string) =>
      (await ledger.readSite(siteId)).histories.get(id)?.history.tests.map((t) => t.test.surveyRef),
  }
}

const five = (id: string) => [0, 1, 2, 3, 4].map((n) => survey(id, n, n === 4 ? 40 : 10))

describe('the first upload of an electrode', () => {
  it('is compared from its marks alone, and reading the electrode as a whole would say the same', async () => {
    const here = await site('FIRST', ['F-1', 'F-2'])
    await here.takeIn('first-1', [...five('F-1'), ...five('F-2')])
    expect(await here.compare()).toEqual({ electrodes: 2, changed: 2 })
    expect(here.readWhole).toEqual([])
    expect(await here.refsOf('F-1')).toEqual(['S-0', 'S-1', 'S-2', 'S-3', 'S-4'])
    const before = await here.ledger.readElectrodeFile('F-1')
    expect(before?.findings.map((f) => f.code)).toContain('limit-exceeded')
    await here.desk.mark(['F-1', 'F-2'])
    expect(await here.compare()).toEqual({ electrodes: 2, changed: 0 })
    expect(await here.ledger.readElectrodeFile('F-1')).toEqual(before)
  })

  it('is not taken for all there is when a survey was there before', async () => {
    const here = await site('SECOND', ['F-3'])
    await here.desk.handIn(survey('F-3', 9), { via: 'form', by: 'local:field' })
    await here.takeIn('first-2', five('F-3'))
    await here.compare()
    expect(here.readWhole).toEqual(['F-3'])
    expect(await here.refsOf('F-3')).toEqual(['S-0', 'S-1', 'S-2', 'S-3', 'S-4', 'S-9'])
  })

  it('is judged anew when the register has changed before it is compared', async () => {
    const here = await site('THIRD', ['F-4'])
    await here.takeIn('first-3', five('F-4'))
    await here.ledger.putElectrode(electrode('F-4', { siteId: 'THIRD', limitOhm: 5 }), {
      nowIso: '1990-01-01T00:00:00Z',
    })
    await here.compare()
    expect(here.readWhole).toEqual(['F-4'])
  })

  it('of several uploads before the first comparison is all of them', async () => {
    const here = await site('FOURTH', ['F-5'])
    await here.takeIn('first-4', five('F-5'))
    await here.takeIn(
      'first-5',
      [5, 6, 7].map((n) => survey('F-5', n)),
    )
    await here.compare()
    expect(await here.refsOf('F-5')).toHaveLength(8)
    expect(here.readWhole).toEqual([])
  })
})
