import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { recordWords, trackRecordOf } from '../../functions/web/pages/findings/track-record.ts'
import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import { type House, openHouse } from './house.ts'
import { plantFindings } from './many-findings.ts'
import { allIds, summaryLines } from './markup.ts'

let house: House
let findings: FindingItem[]
beforeAll(async () => {
  house = await openHouse()
  findings = await plantFindings(house, 120)
}, 30_000)
afterAll(() => house.close())

const second = { id: 'local:second', name: 'Ana' }
const rowsOf = (page: string) => [...page.matchAll(/ data-names="([^"]+)"/g)].map((m) => m[1]!)

async function text(path: string, role: 'quality' | 'field' = 'quality'): Promise<string> {
  return (await house.get(role, path)).text()
}

async function decide(fields: [string, string][], more = {}): Promise<Response> {
  const form = new FormData()
  for (const [name, value] of fields) form.append(name, value)
  return house.post('quality', '/findings/decisions', form, more)
}

const state = async (names: string) => {
  const id = names.split('~')[0]!
  return (await house.deps.ledger.getFinding(id))?.state
}

describe('the queue', () => {
  it('has one row a survey, urgent first, and pages on where the store ends', async () => {
    const page = await text('/findings')
    expect(rowsOf(page)).toHaveLength(50)
    expect(page.indexOf('class="urgent"')).toBeLessThan(page.indexOf('class="warning"'))
    const next = /<a href="([^"]+)" rel="next"/.exec(page)![1]!.replaceAll('&amp;', '&')
    const then = rowsOf(await text(next))
    expect(then.filter((names) => rowsOf(page).includes(names))).toEqual([])
  })

  it.each([
    ['kind', 'earth-left-open', 0],
    ['kind', 'readings-disagree', 24],
    ['instrument', 'i-3', 17],
    ['crew', 'tester 1', 24],
    ['day', '2026-04-02', 5],
    ['older', '34', 0],
    ['site', 'MANY-SITE-0', 60],
  ])('is narrowed by %s=%s, and so is the file', async (name, value, expected) => {
    const csv = await text(`/findings.csv?${name}=${value}`)
    const lines = csv.trimEnd().split('\r\n')
    expect(lines).toHaveLength(expected + 1)
    const shown = rowsOf(await text(`/findings?${name}=${value}`))
    expect(shown).toHaveLength(Math.min(50, expected))
    if (expected > 0) expect(csv).toContain(shown[0]!.split('~')[0])
  })

  it('says so when a part of the address cannot be understood', async () => {
    const page = await text('/findings?kind=no-such&older=x')
    expect(summaryLines(page).map((l) => l.fieldId)).toEqual(['kind', 'older'])
    expect(rowsOf(page)).toHaveLength(50)
  })

  it('counts by a plain fact, and each count leads to its findings', async () => {
    const page = await text('/findings?group=instrument&site=MANY-SITE-1')
    const link =
      /<a href="(\/findings\?site=MANY-SITE-1&amp;instrument=I-\d)">(I-\d)<\/a><\/th><td class="num">(\d+)</.exec(
        page,
      )!
    const rows = rowsOf(await text(link[1]!.replaceAll('&amp;', '&')))
    expect(rows).toHaveLength(Number(link[3]))
  })

  it('weighs less than 120 kB over the wire with its style', async () => {
    const page = await text('/findings')
    expect(gzipSync(page).byteLength).toBeLessThan(40_000)
  })

  it('offers a crew nothing to decide', async () => {
    const page = await text('/findings', 'field')
    expect(page).not.toContain('data-names')
    expect(page).not.toContain('<form method="post" action="/findings')
    const form = { f: rowsOf(await text('/findings'))[0]!, action: 'accept' }
    expect((await house.post('field', '/findings/decisions', form)).status).toBe(403)
  })
})

describe('deciding about several', () => {
  it('decides what is ticked and nothing else, says which, and takes it all back in one press', async () => {
    const rows = rowsOf(await text('/findings?site=MANY-SITE-0')).slice(0, 3)
    const answer = await decide([
      ...rows.slice(0, 2).map((r): [string, string] => ['f', r]),
      ['action', 'accept'],
      ['back', '/findings?site=MANY-SITE-0'],
    ])
    expect(answer.status).toBe(200)
    const page = await answer.text()
    expect(page).toContain('2 findings: value accepted.')
    expect(await Promise.all(rows.map(state))).toEqual(['closed', 'closed', 'open'])
    const undo = /name="f" value="([^"]+)"><button type="submit" name="action" value="reopen"/.exec(page)![1]!
    const back = await decide([
      ['f', undo],
      ['action', 'reopen'],
    ])
    expect(await back.text()).toContain('2 findings: opened again.')
    expect(await Promise.all(rows.map(state))).toEqual(['open', 'open', 'open'])
  })

  it('needs a reason to set aside, keeps what was chosen and typed, and writes both into the trail', async () => {
    const [row = ''] = rowsOf(await text('/findings'))
    const wrong = await decide([
      ['f', row],
      ['action', 'set-aside'],
    ])
    expect(wrong.status).toBe(422)
    const page = await wrong.text()
    expect(allIds(page)).toContain(summaryLines(page)[0]!.fieldId)
    const answer = await decide([
      ['f', row],
      ['action', 'set-aside'],
      ['why', 'Another electrode was tested'],
      ['reason', 'tag 17'],
    ])
    expect(answer.status).toBe(200)
    const finding = await house.deps.ledger.getFinding(row.split('~')[0]!)
    expect(finding?.ruling?.reason).toBe('Another electrode was tested: tag 17')
    const csv = await text('/findings.csv?state=closed')
    expect(csv).toContain('set-aside,Demo quality (local:quality)')
    expect(csv).toContain('Another electrode was tested: tag 17')
    await decide([
      ['f', row.split('~')[0]!],
      ['action', 'reopen'],
    ])
  })

  it('tells of nothing ticked, and of more than fifty', async () => {
    const none = await decide([['action', 'accept']])
    expect(summaryLines(await none.text())[0]?.message).toBe('Tick at least one finding first.')
    const many = await decide([
      [
        'f',
        findings
          .slice(0, 51)
          .map((f) => f.id)
          .join(' '),
      ],
      ['action', 'accept'],
    ])
    expect(many.status).toBe(422)
    expect(await state(findings[0]!.id)).toBe('open')
  })

  it('leaves alone what somebody decided meanwhile, says who and why, and keeps the second decision ready', async () => {
    const rows = rowsOf(await text('/findings?site=MANY-SITE-1')).slice(0, 2)
    await decide(
      [
        ['f', rows[0]!],
        ['action', 'confirm'],
        ['reason', 'seen on site'],
      ],
      second,
    )
    const answer = await decide([
      ...rows.map((r): [string, string] => ['f', r]),
      ['action', 'set-aside'],
      ['reason', 'sheet mixed up'],
    ])
    const page = await answer.text()
    expect(page).toContain('1 finding: survey set aside.')
    expect(page).toContain('1 finding left as it is')
    expect(page).toContain('Ana (local:second) decided this just now: confirmed, because: seen on site.')
    expect(page).toContain('“sheet mixed up”')
    const form = /<section class="mend" aria-labelledby="left-alone">[\s\S]*?<\/section>/.exec(page)![0]
    const fields = [...form.matchAll(/<input type="hidden" name="([^"]+)" value="([^"]*)">/g)]
    await decide([...fields.map((m): [string, string] => [m[1]!, m[2]!]), ['action', 'set-aside']])
    const both = await house.deps.ledger.readElectrodeFile(
      (await house.deps.ledger.getFinding(rows[0]!.split('~')[0]!))!.electrodeId,
    )
    const id = rows[0]!.split('~')[0]!
    expect(both!.decisions.filter((d) => d.findingId === id).map((d) => d.action)).toEqual([
      'confirm',
      'set-aside',
    ])
  })

  it('is refused by the API when the number meant is not the number named', async () => {
    const body = JSON.stringify({ action: 'accept', count: 2, findings: [{ id: findings[40]!.id }] })
    const headers = {
      Cookie: await house.cookieFor('quality'),
      Origin: house.deps.settings.baseUrl,
      'Content-Type': 'application/json',
    }
    const answer = await house.app.request('/api/findings/decisions', { method: 'POST', headers, body })
    expect(answer.status).toBe(422)
    expect(await state(findings[40]!.id)).toBe('open')
  })
})

describe('deciding about somebody else’s electrode', () => {
  it('is left undone by form and API alike, and nothing of the finding is told', async () => {
    const other = findings.findLast((f) => f.siteId === 'MANY-SITE-1')!
    const north = { sites: ['MANY-SITE-0'] }
    const page = await (
      await decide(
        [
          ['f', other.id],
          ['action', 'accept'],
        ],
        north,
      )
    ).text()
    expect(page).toContain('could not be found, or you may not decide about it')
    expect(page).not.toContain(other.message)
    const headers = {
      Cookie: await house.cookieFor('quality', north),
      Origin: house.deps.settings.baseUrl,
      'Content-Type': 'application/json',
    }
    const body = JSON.stringify({ action: 'accept', count: 1, findings: [{ id: other.id }] })
    const answer = await house.app.request('/api/findings/decisions', { method: 'POST', headers, body })
    expect(await answer.json()).toEqual({
      decided: [],
      notDecided: [{ id: other.id, why: 'barred', words: 'You may not decide about this electrode.' }],
    })
    expect(await state(other.id)).toBe('open')
  })
})

describe('how far a chance can be believed', () => {
  const decided = (probability: number, action: 'confirm' | 'accept' | 'set-aside'): FindingItem => ({
    ...findings[0]!,
    state: 'closed',
    probability,
    closedBy: {
      decision: {
        ...{ decisionId: 'd', findingId: 'f', surveyRef: 's', code: 'step-rise', action, reason: '' },
        ...{ decidedBy: 'q', decidedAtMs: 1 },
      },
    },
  })
  it('is not claimed before some three hundred decisions, and is counted from then on', () => {
    const few = trackRecordOf([decided(0.9, 'confirm')])
    expect(recordWords(few, 0.9)).toBe(
      'An estimate, not yet checked here: that takes some 300 decisions, and 1 has been made.',
    )
    const many = trackRecordOf([
      ...Array.from({ length: 270 }, () => decided(0.9, 'confirm')),
      ...Array.from({ length: 30 }, () => decided(0.9, 'accept')),
      ...Array.from({ length: 50 }, () => decided(0.9, 'set-aside')),
    ])
    expect(recordWords(many, 0.85)).toBe(
      'Of 300 decided here with a chance of 80 to 95 %, 270 were found to be so.',
    )
    expect(recordWords(many, 0.3)).toBe('None with a like chance was decided here yet.')
  })
})

describe('a claim', () => {
  it('is seen by others, is not overtaken by a sweep, and lapses', async () => {
    const rows = rowsOf(await text('/findings?site=MANY-SITE-0')).slice(5, 7)
    const id = rows[0]!.split('~')[0]!
    expect((await house.post('quality', `/findings/${id}/claim`, {}, second)).status).toBe(303)
    expect(await text(`/findings/${id}`)).toContain('Ana is at it')
    expect(await text('/findings?site=MANY-SITE-0')).toContain('Ana is at it')
    await house.post('quality', `/findings/${id}/claim`, {})
    expect((await house.deps.ledger.getFinding(id))?.claim?.name).toBe('Ana')
    const page = await (
      await decide([...rows.map((r): [string, string] => ['f', r]), ['action', 'accept']])
    ).text()
    expect(page).toContain('1 finding left as it is')
    expect(await state(id)).toBe('open')
    await house.deps.ledger.claimFinding(id, second.id, { by: second.id, name: 'Ana', untilMs: 1 }, 0)
    expect(await text(`/findings/${id}`)).not.toContain('Ana is at it')
    await house.post('quality', `/findings/${id}/claim`, {})
    expect(await text(`/findings/${id}`)).toContain('You are at it')
    await house.post('quality', `/findings/${id}/claim`, { 'let-go': 'yes' })
    expect((await house.deps.ledger.getFinding(id))?.claim).toBeUndefined()
  })
})

describe('five thousand findings', () => {
  it('cost as much to open as fifty', async () => {
    const costOfOpening = async (count: number) => {
      const many = await openHouse()
      await plantFindings(many, count)
      const { cost } = many.table
      const before = { ...cost }
      const answer = await many.get('quality', '/findings')
      expect(rowsOf(await answer.text())).toHaveLength(50)
      const spent = {
        requests: cost.requests - before.requests,
        readUnits: cost.readUnits - before.readUnits,
      }
      await many.close()
      return spent
    }
    const few = await costOfOpening(60)
    const many = await costOfOpening(5000)
    expect(many.requests).toBeLessThanOrEqual(few.requests + 4)
    expect(many.readUnits).toBeLessThanOrEqual(few.readUnits + 4)
    expect(many.readUnits).toBeLessThan(80)
  }, 60_000)
})
