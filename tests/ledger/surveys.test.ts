import { describe, expect, it } from 'vitest'
import { NOW, peer, survey } from './examples.ts'
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

describe('peers', () => {
  it('are found by site and by instrument within a time, both ends included, by instant and not by text', async () => {
    const { ledger } = under
    const at = (ref: string, testedAt: string) =>
      peer('P-1', ref, { siteId: 'PS', instrumentId: 'PI', testedAt })
    await ledger.putPeerEntries([
      at('1', '2026-01-01T00:00:00Z'),
      at('2', '2026-01-31T23:59:59+00:00'),
      at('3', '2026-02-01T00:30:00+02:00'),
      at('4', '2027-01-01T00:00:00Z'),
    ])
    const refs = async (from: string, to: string) =>
      (await ledger.peersOfSite('PS', from, to)).map((p) => p.surveyRef)
    expect(await refs('2026-01-01', '2026-01-31T22:30:00Z')).toEqual(['1', '3'])
    expect(await refs('2026-01-31T23:59:59Z', '')).toEqual(['2', '4'])
    expect(await refs('', '')).toEqual(['1', '3', '2', '4'])
    expect((await ledger.peersOfInstrument('PI', '', '2026-01-15')).map((p) => p.surveyRef)).toEqual(['1'])
  })

  it('are the same however often they are put, and say the newest numbers', async () => {
    const { ledger } = under
    const entry = peer('P-2', '1', { siteId: 'PS2' })
    await ledger.putPeerEntries([entry, entry])
    await ledger.putPeerEntries([{ ...entry, lnOhm: null }])
    expect(await ledger.peersOfSite('PS2', '', '')).toEqual([{ ...entry, lnOhm: null }])
  })

  it('name each electrode once that an instrument has tested since a date', async () => {
    const { ledger } = under
    const by = (electrodeId: string, ref: string, testedAt: string) =>
      peer(electrodeId, ref, { instrumentId: 'I-9', testedAt })
    await ledger.putPeerEntries([
      by('A', '1', '2025-01-01'),
      by('B', '1', '2026-01-01'),
      by('C', '1', '2026-02-01'),
      by('C', '2', '2026-03-01'),
      peer('D', '1', { instrumentId: undefined }),
    ])
    expect(await ledger.electrodesOfInstrument('I-9', '2026-01-01')).toEqual(['B', 'C'])
    expect(await ledger.electrodesOfInstrument('I-9', '')).toEqual(['A', 'B', 'C'])
  })
})

describe('due marks', () => {
  it('are cleared only by the stamp in force', async () => {
    const { ledger } = under
    await ledger.markDue(['K-1', 'K-2'], { stamp: 'one', nowIso: NOW, uploadId: 'u' })
    await ledger.markDue(['K-1'], { stamp: 'two', nowIso: NOW })
    expect(await ledger.getMark('K-1')).toEqual({ electrodeId: 'K-1', stamp: 'two', markedAt: NOW })
    expect(await ledger.clearMark('K-1', 'one')).toBe(false)
    expect(await ledger.clearMark('K-1', 'two')).toBe(true)
    expect(await ledger.clearMark('K-1', 'two')).toBe(false)
    expect(await ledger.getMark('K-1')).toBeNull()
    expect((await ledger.listMarks()).map((m) => m.electrodeId)).toEqual(['K-2'])
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
