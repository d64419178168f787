import { describe, expect, it } from 'vitest'
import { knownTestOf } from '../../shared-lib/ledger/judge-record.ts'
import { emptyHistory } from '../../shared-lib/ledger/site-history.ts'
import { assess, electrode, NOW, survey } from './examples.ts'
import { ledgerUnderTest } from './ledger-under-test.ts'

const under = ledgerUnderTest()

describe('surveys', () => {
  it('come back exactly as they were stored', async () => {
    const record = survey('S-1', 'ref 1')
    record.survey.readings.push({
      potentialProbeM: 1e-9,
      resistanceOhm: 123456789012345680000,
      condition: 'ok',
    })
    record.survey.notes = ''
    await under.ledger.putSurvey(record)
    expect(await under.ledger.getSurvey(record.subject, 'ref 1')).toEqual(record)
  })

  it('are stored once: the same content is already there, other content is a conflict and changes nothing', async () => {
    const first = survey('S-2', 'ref')
    expect(await under.ledger.putSurvey(first)).toEqual({ outcome: 'stored', stored: first })
    const again = survey('S-2', 'ref', { receivedAt: '2030-01-01T00:00:00.000Z' })
    expect(await under.ledger.putSurvey(again)).toEqual({ outcome: 'already-there', stored: first })
    const other = survey('S-2', 'ref', { contentHash: 'other' })
    expect(await under.ledger.putSurvey(other)).toEqual({ outcome: 'conflict', stored: first })
    expect(await under.ledger.getSurvey(first.subject, 'ref')).toEqual(first)
  })

  it('have exactly one winner when twenty hand in the same ref with different content at once', async () => {
    const outcomes = await Promise.all(
      Array.from({ length: 20 }, (_, i) =>
        under.ledger.putSurvey(survey('S-3', 'ref', { contentHash: `${i}` })),
      ),
    )
    expect(outcomes.filter((o) => o.outcome === 'stored')).toHaveLength(1)
    expect(new Set(outcomes.map((o) => o.stored.contentHash)).size).toBe(1)
  })

  it('may share a ref when they are about different electrodes', async () => {
    expect((await under.ledger.putSurvey(survey('S-4', '1'))).outcome).toBe('stored')
    expect((await under.ledger.putSurvey(survey('S-5', '1'))).outcome).toBe('stored')
  })

  it('of a site and of an instrument are listed by date, apart from an electrode of the same name', async () => {
    const ofSite = (ref: string, testedAt: string) => {
      const base = survey('X', ref)
      return {
        ...base,
        subject: { kind: 'site' as const, id: 'X' },
        survey: { ...base.survey, testedAt, electrodeId: undefined },
      }
    }
    await under.ledger.putSurvey(survey('X', 'of electrode'))
    await under.ledger.putSurvey(ofSite('a', '2026-03-02T00:30:00+02:00'))
    await under.ledger.putSurvey(ofSite('b', '2026-03-01T23:00:00+00:00'))
    await under.ledger.putSurvey(ofSite('c', '2025-03-01T23:00:00+00:00'))
    const refs = (await under.ledger.listSurveysOf({ kind: 'site', id: 'X' })).map((s) => s.survey.surveyRef)
    expect(refs).toEqual(['c', 'a', 'b'])
    expect(await under.ledger.listSurveysOf({ kind: 'instrument', id: 'X' })).toEqual([])
  })
})

describe('held surveys', () => {
  const held = (electrodeId: string, surveyRef: string, receivedAt = NOW) => {
    const { survey: words, contentHash, receivedFrom } = survey(electrodeId, surveyRef)
    return { id: `h ${surveyRef}`, electrodeId, survey: words, contentHash, receivedAt, receivedFrom }
  }
  it('wait under the id they name, once each, until they are taken away', async () => {
    const { ledger } = under
    expect(await ledger.holdSurvey(held('H-1', 'b'))).toEqual({ outcome: 'stored' })
    expect(await ledger.holdSurvey(held('H-1', 'b'))).toEqual({ outcome: 'already-there' })
    expect(await ledger.holdSurvey({ ...held('H-1', 'b'), contentHash: 'x' })).toEqual({
      outcome: 'conflict',
    })
    await ledger.holdSurvey(held('H-1', 'a', '2026-01-01T00:00:00Z'))
    await ledger.holdSurvey(held('H-2', 'c', '2026-02-01T00:00:00Z'))
    expect((await ledger.heldFor('H-1')).map((h) => h.survey.surveyRef)).toEqual(['a', 'b'])
    expect((await ledger.listHeld({})).items.map((h) => h.survey.surveyRef)).toEqual(['a', 'c', 'b'])
    await ledger.removeHeld(held('H-1', 'a'))
    await ledger.removeHeld(held('H-1', 'a'))
    expect((await ledger.listHeld({})).items.map((h) => h.survey.surveyRef)).toEqual(['c', 'b'])
  })
})

describe('due marks', () => {
  const clear = async (electrodeId: string, stamp: string) => {
    const mark = await under.ledger.getMark(electrodeId)
    await under.ledger.clearMarks([{ ...mark!, stamp }])
  }
  it('are cleared only by the stamp in force', async () => {
    const { ledger } = under
    await ledger.putElectrode(electrode('K-1', { siteId: 'KS' }), { nowIso: NOW })
    await ledger.markDue(['K-1', 'K-2'], { stamp: 'one', nowIso: NOW, uploadId: 'u' })
    await ledger.markDue(['K-1'], { stamp: 'two', nowIso: NOW })
    const two = { electrodeId: 'K-1', siteId: 'KS', portion: '', stamp: 'two', markedAt: NOW }
    expect(await ledger.getMark('K-1')).toEqual(two)
    expect(await ledger.marksOfSite('KS')).toEqual([two])
    await clear('K-1', 'one')
    expect(await ledger.getMark('K-1')).toEqual(two)
    await clear('K-1', 'two')
    expect(await ledger.getMark('K-1')).toBeNull()
    expect((await ledger.listMarks()).map((m) => m.electrodeId)).toEqual(['K-2'])
    // Not in the register: of no site.
    expect((await ledger.marksOfSite('')).map((m) => m.electrodeId)).toEqual(['K-2'])
  })

  it('of the portions of an upload stand beside each other and keep the tests they brought', async () => {
    const { ledger } = under
    const portion = (n: number) => {
      const news = { tests: [knownTestOf(survey('K-3', `p${n}`), 'KT')], booksAt: { 'I-3': 'b' } }
      const at = { siteId: 'KT', stamp: 's', markedAt: NOW, uploadId: 'u' }
      return { electrodeId: 'K-3', portion: `u.${n}`, ...at, news }
    }
    await ledger.putMarks([portion(0), portion(1)])
    await ledger.putMarks([portion(1)])
    expect(await ledger.marksOfSite('KT')).toEqual([portion(0), portion(1)])
    await ledger.clearMarks([portion(0)])
    expect(await ledger.marksOfSite('KT')).toEqual([portion(1)])
  })

  it('are all listed, however many, and marking none is no mistake', async () => {
    const { ledger } = under
    const ids = Array.from({ length: 60 }, (_, i) => `KM-${i}`)
    await ledger.markDue(ids, { stamp: 's', nowIso: NOW })
    await ledger.markDue([], { stamp: 's', nowIso: NOW })
    const listed = (await ledger.listMarks()).map((m) => m.electrodeId).filter((id) => id.startsWith('KM'))
    expect(listed.toSorted()).toEqual(ids.toSorted())
  })
})

describe('surveys handed in singly', () => {
  it('are found by the time they came, those of uploads not, and one that was compared is known', async () => {
    const { ledger } = under
    await ledger.putElectrode(electrode('R#1', { siteId: 'R%' }), { nowIso: NOW })
    const at = (ref: string, receivedAt: string) => survey('R#1', ref, { siteId: 'R%', receivedAt })
    await ledger.putSurvey({
      ...at('a#1', '2026-05-01T10:00:00.000Z'),
      receivedFrom: { via: 'form', by: 'x' },
    })
    await ledger.putSurvey({ ...at('b', '2026-05-02T10:00:00.000Z'), receivedFrom: { via: 'api', by: 'x' } })
    const upload = { via: 'upload' as const, by: 'x', uploadId: 'u' }
    await ledger.putSurvey({ ...at('c', '2026-05-01T11:00:00.000Z'), receivedFrom: upload })
    const found = await ledger.recentSurveys('2026-05-01T10:00:00Z', '2026-05-02T10:00:00Z')
    const here = { siteId: 'R%', electrodeId: 'R#1', receivedAt: '2026-05-01T10:00:00.000Z' }
    expect(found).toEqual([{ ...here, surveyRef: 'a#1' }])
    expect(await ledger.compared(found)).toEqual([false])
    const tests = [knownTestOf(at('a#1', ''), 'R%')]
    const words = electrode('R#1', { siteId: 'R%' })
    await assess(ledger, 'R#1', { history: { ...emptyHistory(words), tests } })
    expect(await ledger.compared([...found, { ...here, surveyRef: 'b' }])).toEqual([true, false])
  })
})

describe('the turn to write by batch', () => {
  it('is one run at a time until it ends or its time is over', async () => {
    const { ledger } = under
    const take = (by: string, nowMs: number, untilMs: number) =>
      ledger.takeWritingTurn(by, { nowMs, untilMs, electrodeIds: ['W-1', 'W-2'] })
    expect(await take('one', 1000, 2000)).toBe(true)
    expect(await take('two', 1500, 2500)).toBe(false)
    expect(await take('one', 1500, 2500)).toBe(true)
    await ledger.endWritingTurn('two')
    expect(await take('two', 2600, 3500)).toBe(true)
    await ledger.endWritingTurn('two')
    expect(await take('one', 2700, 3500)).toBe(true)
    await ledger.endWritingTurn('one')
  })

  it('holds up hand-ins of the electrodes it is about, and of no others', async () => {
    const { ledger } = under
    expect(await ledger.lockedUntil('W-2')).toBe(null)
    await ledger.takeWritingTurn('one', { nowMs: 1000, untilMs: 2000, electrodeIds: ['W-1', 'W-2', 'W/3'] })
    expect(await Promise.all(['W-1', 'W-2', 'W/3', 'W-4'].map(ledger.lockedUntil))).toEqual([
      ...[2000, 2000, 2000, null],
    ])
    await ledger.endWritingTurn('one')
    expect(await ledger.lockedUntil('W-2')).toBe(null)
  })
})
