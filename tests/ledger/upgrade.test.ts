import { BatchWriteCommand, QueryCommand } from '@aws-sdk/lib-dynamodb'
import { describe, expect, it } from 'vitest'
import { defaultParameters } from '../../shared-lib/history/parameters.ts'
import { compareSite } from '../../shared-lib/ledger/compare-site.ts'
import { electrode, finding, NOW, survey } from './examples.ts'
import { ledgerUnderTest } from './ledger-under-test.ts'

const under = ledgerUnderTest()
const SITE = 'OLD'
const words = { ...electrode('U-1', { siteId: SITE, retestMonths: 12 }), diameterMm: 16 }

/** Items as schema version 1 wrote them: the due date in the register item, marks by electrode, peer entries by site and instrument. */
function itemsOfVersion1() {
  const { booksAt: _, ...record } = survey('U-1', 'S-1', { siteId: SITE })
  const d = { electrodeId: 'U-1', siteId: SITE, surveyRef: 'S-1', testedAt: record.survey.testedAt }
  const peer = { ...d, measuredAs: 'electrode-alone', instrumentId: 'I-3', lnOhm: 2.4, validity: 'valid' }
  const { state, ...open } = finding('U-1', 'S-1', {
    ...{ siteId: SITE, code: 'limit-exceeded', evidence: {} },
  })
  const sort = `1#2026-05-04T10:20:00.000Z#${open.id}`
  return [
    {
      ...{ pk: 'E#U-1', sk: 'REG', v: 1, rev: 1, siteId: SITE, versions: [{ from: '', electrode: words }] },
      ...{ ep: 'EN#03', es: 'U-1', op: `ES#${SITE}`, os: 'U-1' },
      ...{ lastTestedAt: record.survey.testedAt, dueOn: '2027-05-01', lp: 'DU#00', ls: '2027-05-01#U-1' },
    },
    { pk: 'E#U-1', sk: 'SV#S-1', v: 1, d: record },
    { pk: 'E#U-1', sk: 'LM#lightning##', v: 1, d: { electrodeId: 'U-1', purpose: 'lightning', limitOhm: 5 } },
    { pk: 'E#U-1', sk: 'AS', v: 1, d: { findings: {}, series: [], parametersVersion: 'default-2' } },
    {
      ...{ pk: 'E#U-1', sk: `FD#${open.id}`, v: 1, d: open, state },
      ...{ lp: 'FL#open#00', ls: sort, op: `FS#open#${SITE}`, os: sort },
    },
    { pk: `PS#${SITE}`, sk: '2026-05-01T08:00:00.000Z#U-1#S-1', v: 1, d: peer },
    { pk: 'PI#I-3', sk: '2026-05-01T08:00:00.000Z#U-1#S-1', v: 1, d: peer },
    { pk: 'MK#07', sk: 'U-1', v: 1, stamp: 'old', d: { electrodeId: 'U-1', stamp: 'old', markedAt: NOW } },
  ]
}

describe('a table that schema version 1 has filled', () => {
  const run = {
    ...{ parameters: defaultParameters, newId: () => 'id', nowIso: () => NOW },
    ...{ beforeNews: async () => {}, afterNews: async () => {} },
  }
  const left = async (partition: string) => {
    const { Items } = await under.client.send(
      new QueryCommand({
        ...{ TableName: under.tableName, KeyConditionExpression: 'pk = :p' },
        ExpressionAttributeValues: { ':p': partition },
      }),
    )
    return Items
  }

  it('is upgraded once: every electrode is judged anew, due dates and limits are kept, nothing old is left behind', async () => {
    const { ledger } = under
    const requests = itemsOfVersion1().map((Item) => ({ PutRequest: { Item } }))
    await under.client.send(new BatchWriteCommand({ RequestItems: { [under.tableName]: requests } }))
    expect((await ledger.readElectrodeFile('U-1'))?.surveys).toHaveLength(1)

    expect(await ledger.upgrade({ stamp: 's', nowIso: NOW })).toBe(1)
    expect((await ledger.listMarks()).map((m) => [m.electrodeId, m.siteId])).toEqual([['U-1', SITE]])
    for (const partition of [`PS#${SITE}`, 'PI#I-3', 'MK#07']) {
      const items = (await left(partition)) ?? []
      expect(items.filter((i) => i.v === 1)).toEqual([])
    }
    await compareSite({ ledger, ...run }, SITE, [])
    const file = await ledger.readElectrodeFile('U-1')
    expect(file?.compared.has('S-1')).toBe(true)
    expect(file?.limits.map((l) => l.limitOhm)).toEqual([5])
    expect((await ledger.getManyBooks(['U-1'])).get('U-1')?.limits).toHaveLength(1)
    const due = await ledger.listDue({ toMonth: '2027-12' })
    expect(due.items.map((r) => [r.electrode.electrodeId, r.dueOn])).toEqual([['U-1', '2027-05-01']])
    expect(await ledger.listMarks()).toEqual([])
    expect(await ledger.upgrade({ stamp: 't', nowIso: NOW })).toBe(0)
  })

  it('is refused by a program older than it', async () => {
    const Item = { pk: 'E#U-9', sk: 'REG', v: 99, rev: 1, siteId: SITE, versions: [] }
    await under.client.send(
      new BatchWriteCommand({ RequestItems: { [under.tableName]: [{ PutRequest: { Item } }] } }),
    )
    await expect(under.ledger.getElectrode('U-9')).rejects.toMatchObject({ code: 'unknown-version' })
  })
})
