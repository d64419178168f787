import { describe, expect, it } from 'vitest'
import { assess, assessment, decision, electrode, finding, NOW, survey } from './examples.ts'
import { ledgerUnderTest } from './ledger-under-test.ts'

const under = ledgerUnderTest()
const register = (id: string, over = {}) => under.ledger.putElectrode(electrode(id, over), { nowIso: NOW })

describe('the file of an electrode', () => {
  it('is not there for an electrode that is not in the register', async () => {
    await under.ledger.putSurvey(survey('F-0', '1'))
    expect(await under.ledger.readElectrodeFile('F-0')).toBeNull()
  })

  it('holds everything about it, surveys by the instant of the test', async () => {
    const { ledger } = under
    await register('F-1')
    await register('F-11')
    const tested = (ref: string, testedAt: string) => {
      const base = survey('F-1', ref)
      return { ...base, survey: { ...base.survey, testedAt } }
    }
    await ledger.putSurvey(tested('a', '2026-03-02T00:30:00+02:00'))
    await ledger.putSurvey(tested('b', '2026-03-01T23:00:00+00:00'))
    await ledger.putSurvey(tested('c', '2025-01-01T00:00:00Z'))
    await ledger.putSurvey(survey('F-11', 'of another'))
    await ledger.putLimit({ electrodeId: 'F-1', purpose: 'lightning', limitOhm: 10 })
    expect(await ledger.putWork({ electrodeId: 'F-1', doneOn: '2025-06-01', what: 'repaired' })).toBe(
      'created',
    )
    const found = finding('F-1', 'a')
    await assess(ledger, 'F-1', { putFindings: [found] })
    const decided = decision(found, 'retest', 1)
    await ledger.addDecision(decided)
    const file = await ledger.readElectrodeFile('F-1')
    expect(file?.record.electrode).toEqual(electrode('F-1'))
    expect(file?.surveys.map((s) => s.survey.surveyRef)).toEqual(['c', 'a', 'b'])
    expect(file?.limits).toHaveLength(1)
    expect(file?.works).toEqual([{ electrodeId: 'F-1', doneOn: '2025-06-01', what: 'repaired' }])
    expect(file?.decisions).toEqual([decided])
    // 1e-140 is below what the table can hold, and is stored as 0.
    expect(file?.findings).toEqual([
      { ...found, evidence: { ...found.evidence, pValue: 0 }, ruling: decided },
    ])
    expect(file?.assessment).toEqual(assessment)
  })

  it('takes an assessment any number of times with the same end', async () => {
    const { ledger } = under
    await register('F-2')
    const record = survey('F-2', '1')
    await ledger.putSurvey(record)
    const change = {
      rejudged: [{ ...record, judged: { ...record.judged, judgeVersion: '2' } }],
      putFindings: [finding('F-2', '1'), finding('F-2', '1', { code: 'limit-exceeded' })],
      removeFindings: [finding('F-2', 'gone').id],
      lastTestedAt: '2026-05-01T08:00:00.000Z',
      dueOn: '2027-05-01',
    }
    await assess(ledger, 'F-2', change)
    const once = await ledger.readElectrodeFile('F-2')
    await assess(ledger, 'F-2', change)
    expect(await ledger.readElectrodeFile('F-2')).toEqual(once)
    expect(once?.surveys[0]?.judged.judgeVersion).toBe('2')
    expect(once?.record).toMatchObject({ lastTestedAt: '2026-05-01T08:00:00.000Z', dueOn: '2027-05-01' })
  })

  it('forgets what the assessment no longer says: findings, and the due date', async () => {
    const { ledger } = under
    await register('F-3')
    const found = finding('F-3', '1', { siteId: 'F3' })
    await assess(ledger, 'F-3', { putFindings: [found], dueOn: '2026-01-01' })
    await assess(ledger, 'F-3', { removeFindings: [found.id] })
    expect((await ledger.listFindings({ siteId: 'F3', state: 'all' })).items).toEqual([])
    const due = await ledger.listDue({ toMonth: '2030-01', limit: 1000 })
    expect(due.items.map((r) => r.electrode.electrodeId)).not.toContain('F-3')
    expect((await ledger.readElectrodeFile('F-3'))?.record).not.toHaveProperty('dueOn')
  })

  it('keeps the due date when the register changes', async () => {
    await register('F-4')
    await assess(under.ledger, 'F-4', { dueOn: '2026-01-01' })
    await register('F-4', { limitOhm: 3 })
    expect((await under.ledger.readElectrodeFile('F-4'))?.record).toMatchObject({
      dueOn: '2026-01-01',
      electrode: { limitOhm: 3 },
    })
  })
})

describe('decisions', () => {
  const prepared = async (id: string, over = {}) => {
    await register(id)
    const found = finding(id, '1', { siteId: `site of ${id}`, ...over })
    await assess(under.ledger, id, { putFindings: [found] })
    return found
  }
  const listed = async (id: string, state: 'open' | 'closed') =>
    (await under.ledger.listFindings({ siteId: `site of ${id}`, state })).items.map((f) => f.electrodeId)

  it('close a finding, say why, and move it in the lists', async () => {
    const found = await prepared('D-1')
    const accept = decision(found, 'accept', 10)
    const after = await under.ledger.addDecision(accept)
    expect(after).toMatchObject({ state: 'closed', closedBy: { decision: accept } })
    expect([await listed('D-1', 'open'), await listed('D-1', 'closed')]).toEqual([[], ['D-1']])
  })

  it('are undone by a later one', async () => {
    const found = await prepared('D-2')
    await under.ledger.addDecision(decision(found, 'set-aside', 10))
    const after = await under.ledger.addDecision(decision(found, 'reopen', 20))
    expect(after?.state).toBe('open')
    expect(after).not.toHaveProperty('closedBy')
    expect(await listed('D-2', 'open')).toEqual(['D-2'])
  })

  it('count by their time, not by their arrival', async () => {
    const found = await prepared('D-3')
    await under.ledger.addDecision(decision(found, 'reopen', 20))
    expect((await under.ledger.addDecision(decision(found, 'accept', 10)))?.state).toBe('open')
    const file = await under.ledger.readElectrodeFile('D-3')
    expect(file?.decisions.map((d) => d.action)).toEqual(['accept', 'reopen'])
  })

  it('are one when sent twice, also when the second comes with other words', async () => {
    const found = await prepared('D-4')
    const accept = decision(found, 'accept', 10)
    await under.ledger.addDecision(accept)
    await under.ledger.addDecision({ ...accept, reason: 'changed', action: 'reopen' })
    expect((await under.ledger.readElectrodeFile('D-4'))?.decisions).toEqual([accept])
    expect((await under.ledger.getFinding(found.id))?.state).toBe('closed')
  })

  it('of many people at once end with the newest ruling', async () => {
    const found = await prepared('D-5')
    const actions = ['accept', 'reopen', 'confirm', 'retest', 'set-aside', 'reopen', 'repaired'] as const
    await Promise.all(actions.map((a, i) => under.ledger.addDecision(decision(found, a, 100 + i))))
    const after = await under.ledger.getFinding(found.id)
    expect(after).toMatchObject({ state: 'closed', closedBy: { decision: { decisionId: 'repaired-106' } } })
    expect((await under.ledger.readElectrodeFile('D-5'))?.decisions).toHaveLength(7)
  })

  it('are not undone by a comparison that had not seen them', async () => {
    const found = await prepared('D-6')
    await under.ledger.addDecision(decision(found, 'accept', 10))
    // Compare read the file before the decision and writes the finding as still open, with newer words.
    await assess(under.ledger, 'D-6', { putFindings: [{ ...found, message: 'newer' }] })
    expect(await under.ledger.getFinding(found.id)).toMatchObject({ state: 'closed', message: 'newer' })
    expect([await listed('D-6', 'open'), await listed('D-6', 'closed')]).toEqual([[], ['D-6']])
  })

  it('and comparisons at the same moment end with the decision, whoever is first', async () => {
    const found = await prepared('D-7')
    for (let round = 0; round < 10; round++) {
      const action = round % 2 === 0 ? ('accept' as const) : ('reopen' as const)
      await Promise.all([
        under.ledger.addDecision(decision(found, action, 100 + round)),
        assess(under.ledger, 'D-7', { putFindings: [{ ...found, message: `${round}` }] }),
      ])
      expect((await under.ledger.getFinding(found.id))?.state).toBe(action === 'accept' ? 'closed' : 'open')
    }
  })

  it('about nothing are answered with null', async () => {
    const found = finding('D-8', '1')
    expect(await under.ledger.addDecision(decision(found, 'accept', 1))).toBeNull()
    expect(
      await under.ledger.addDecision({ ...decision(found, 'accept', 1), findingId: 'rubbish' }),
    ).toBeNull()
    expect(await under.ledger.getFinding('')).toBeNull()
  })

  it('do not touch what a later survey has settled until someone reopens it', async () => {
    const found = await prepared('D-9', { state: 'closed', closedBy: { laterSurveyRef: '2' } })
    expect(await under.ledger.getFinding(found.id)).toMatchObject({ closedBy: { laterSurveyRef: '2' } })
    expect((await under.ledger.addDecision(decision(found, 'reopen', 5)))?.state).toBe('open')
  })
})
