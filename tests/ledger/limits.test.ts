import { type BatchGetCommand, BatchWriteCommand, PutCommand } from '@aws-sdk/lib-dynamodb'
import { describe, expect, it } from 'vitest'
import { writeMany } from '../../shared-lib/ledger/batches.ts'
import { registerKey } from '../../shared-lib/ledger/keys.ts'
import { row } from '../../shared-lib/ledger/rows.ts'
import { MAX_ITEM_BYTES, storableItem } from '../../shared-lib/ledger/storable.ts'
import { assess, decision, electrode, finding, NOW, survey, untold, upload } from './examples.ts'
import { ledgerUnderTest } from './ledger-under-test.ts'

const under = ledgerUnderTest()

const withReadings = (ref: string, count: number) => {
  const record = survey('Z-1', ref)
  const readings = Array.from({ length: count }, (_, i) => ({
    potentialProbeM: 1 + i / 7,
    resistanceOhm: 10 + i / 3,
    condition: 'ok' as const,
  }))
  return { ...record, survey: { ...record.survey, readings } }
}

describe('what the table can hold', () => {
  it('is enough for a survey of 1,000 readings', async () => {
    const record = withReadings('long', 1000)
    expect((await under.ledger.putSurvey(record)).outcome).toBe('stored')
    expect(await under.ledger.getSurvey(record.subject, 'long')).toEqual(record)
  })

  it('is said plainly when a survey is larger, before anything is sent', async () => {
    const tooMuch = withReadings('too long', 10_000)
    await expect(under.ledger.putSurvey(tooMuch)).rejects.toMatchObject({
      name: 'LedgerError',
      code: 'item-too-large',
    })
    expect(await under.ledger.getSurvey(tooMuch.subject, 'too long')).toBeNull()
  })

  it('is never found out by the table itself: what we let through, it takes', async () => {
    const filled = (characters: number) => ({ pk: 'T#1', sk: 'T', v: 1, d: { text: 'é'.repeat(characters) } })
    let fits = MAX_ITEM_BYTES / 2
    for (; ; fits--) {
      try {
        storableItem(filled(fits))
        break
      } catch {}
    }
    expect(MAX_ITEM_BYTES - 2 * fits).toBeLessThan(100)
    const sent = under.client.send(new PutCommand({ TableName: under.tableName, Item: filled(fits) }))
    await expect(sent).resolves.toBeDefined()
  })

  it.each([Number.NaN, Number.POSITIVE_INFINITY, 1e200])(
    'refuses %s as a number and says where it stood',
    async (n) => {
      const record = survey('Z-2', 'n')
      record.judged.findings.push({
        code: 'rising-drift',
        severity: 'notice',
        probability: null,
        message: '',
        advice: [],
        evidence: { slope: { deep: n } },
      })
      await expect(under.ledger.putSurvey(record)).rejects.toMatchObject({
        code: 'bad-number',
        detail: { path: 'd.judged.findings[0].evidence.slope.deep' },
      })
    },
  )

  it.each(['', 'x'.repeat(257), '#'.repeat(86), 'ab\ud800'])('refuses %j as an id', async (id) => {
    await expect(under.ledger.getElectrode(id)).rejects.toMatchObject({ code: 'bad-key' })
  })

  it('is not read when a newer program wrote it', async () => {
    const key = registerKey('NEWER')
    await under.client.send(new PutCommand({ TableName: under.tableName, Item: { ...row(key, {}), v: 99 } }))
    await expect(under.ledger.getElectrode('NEWER')).rejects.toMatchObject({ code: 'unknown-version' })
    await expect(under.ledger.getElectrodes(['NEWER'])).rejects.toMatchObject({ code: 'unknown-version' })
    await expect(under.ledger.readElectrodeFile('NEWER')).rejects.toMatchObject({ code: 'unknown-version' })
  })
})

describe('the longest ids', () => {
  const longest = 'é'.repeat(128)
  it('fit every key', async () => {
    const { ledger } = under
    const site = { siteId: longest }
    await ledger.putElectrode(electrode(longest, site), { nowIso: NOW })
    const record = survey(longest, longest)
    expect((await ledger.putSurvey(record)).outcome).toBe('stored')
    const found = finding(longest, longest, { ...site, code: 'electrode-open-suspected' })
    const change = { rejudged: [record], putFindings: [found], dueOn: '2026-01-01' }
    expect(await assess(ledger, longest, change)).toBe(true)
    await ledger.addDecision({ ...decision(found, 'accept', 1), decisionId: longest })
    await ledger.putInstrumentSite(longest, longest)
    expect(await ledger.sitesOfInstrument(longest)).toEqual([longest])
    await ledger.addUntold([untold(longest, found.id)])
    await ledger.holdSurvey({ ...record, electrodeId: longest })
    await ledger.markDue([longest], { stamp: 's', nowIso: NOW })
    await ledger.checkpointUpload(upload(longest, { by: longest }), [])
    expect(await ledger.listRecipientsWithUntold()).toEqual([longest])
    expect((await ledger.listFindings({ ...site, state: 'all', limit: 1 })).items).toHaveLength(1)
    expect((await ledger.readElectrodeFile(longest))?.decisions).toHaveLength(1)
  })
})

describe('a table that takes only part of a batch', () => {
  it('is asked again for the rest until all is written', async () => {
    const sizes: number[] = []
    // A real client whose first answers hand back all but ten items, as a throttled table does.
    const stingy = new Proxy(under.client, {
      get: (client, name) =>
        name !== 'send'
          ? Reflect.get(client, name)
          : async (command: BatchWriteCommand | BatchGetCommand) => {
              const items = Object.values(command.input.RequestItems ?? {})[0] as never[]
              sizes.push(items.length)
              const taken = new BatchWriteCommand({ RequestItems: { [under.tableName]: items.slice(0, 10) } })
              await client.send(taken)
              return { UnprocessedItems: items.length > 10 ? { [under.tableName]: items.slice(10) } : {} }
            },
    })
    const rows = Array.from({ length: 30 }, (_, i) =>
      row(registerKey(`BT-${i}`), { versions: [{ from: '', electrode: electrode(`BT-${i}`) }] }),
    )
    await writeMany(stingy, under.tableName, rows)
    const found = await under.ledger.getElectrodes(Array.from({ length: 30 }, (_, i) => `BT-${i}`))
    expect(found.size).toBe(30)
    expect(Math.max(...sizes)).toBe(25)
  })

  it('is given up on with a typed error when it never takes anything', async () => {
    const deaf = new Proxy(under.client, {
      get: (client, name) =>
        name !== 'send'
          ? Reflect.get(client, name)
          : async (command: BatchWriteCommand) => ({ UnprocessedItems: command.input.RequestItems }),
    })
    const writing = writeMany(deaf, under.tableName, [row(registerKey('never'), {})])
    await expect(writing).rejects.toMatchObject({ code: 'overloaded', detail: { left: 1 } })
  }, 20_000)

  it('answers more than a batch can carry: large items come in parts', async () => {
    const ids = Array.from({ length: 60 }, (_, i) => `BIG-${i}`)
    await Promise.all(
      ids.map((id) =>
        under.ledger.putElectrode(electrode(id, { notes: 'x'.repeat(60_000) }), { nowIso: NOW }),
      ),
    )
    expect((await under.ledger.getElectrodes(ids)).size).toBe(60)
  })
})
