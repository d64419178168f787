import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { renewCalendarRights } from '../../functions/web/calendar-feed.ts'
import { createApp } from '../../functions/web/create-app.ts'
import { summariseSite } from '../../functions/web/pages/sites/site-summary.ts'
import type { PriorTest } from '../../shared-lib/history/assessment.ts'
import { countFleet } from '../../shared-lib/ledger/count-fleet.ts'
import { everySite } from '../../shared-lib/ledger/every-site.ts'
import { emptyHistory } from '../../shared-lib/ledger/site-history.ts'
import { fillDemo, shortSurvey } from './demo.ts'
import { type House, openHouse } from './house.ts'
import { formValues, summaryLines } from './markup.ts'

let house: House
beforeAll(async () => {
  house = await openHouse()
  await fillDemo(house)
}, 30_000)
afterAll(() => house.close())

async function text(
  role: 'field' | 'quality' | 'engineer' | 'admin',
  path: string,
  more = {},
): Promise<string> {
  return (await house.get(role, path, more)).text()
}

describe('the register’s forms', () => {
  it('add an electrode and change its words, and tell what is wrong beside the control', async () => {
    const form = formValues(await text('admin', '/register/electrode'))
    const wrong = await house.post('admin', '/register/electrode', {
      ...form,
      electrodeId: 'DEMO-N1',
      limitOhm: '1,200',
    })
    expect(wrong.status).toBe(422)
    expect(summaryLines(await wrong.text()).map((l) => l.fieldId)).toEqual(['siteId', 'kind', 'limitOhm'])
    const good = {
      ...form,
      electrodeId: 'DEMO-N1',
      siteId: 'DEMO-NORTH',
      kind: 'rod',
      lengthM: '2,5',
      limitOhm: '20',
    }
    const saved = await house.post('admin', '/register/electrode', good)
    expect(saved.headers.get('Location')).toBe('/electrodes/DEMO-N1')
    const again = formValues(await text('admin', '/register/electrode?id=DEMO-N1'))
    expect(again).toMatchObject({ electrodeId: 'DEMO-N1', lengthM: '2.5', limitOhm: '20' })
    await house.post('admin', '/register/electrode', { ...again, locationText: 'by the gate' })
    expect((await house.deps.ledger.getElectrode('DEMO-N1'))?.electrode).toMatchObject({
      lengthM: 2.5,
      locationText: 'by the gate',
    })
  })

  it('add limits, works and calibrations', async () => {
    const limit = formValues(await text('admin', '/register/limit?electrode=DEMO-R2'))
    await house.post('admin', '/register/limit', { ...limit, purpose: 'lightning', limitOhm: '10' })
    expect(await text('admin', '/electrodes/DEMO-R2')).toContain('<th scope="row">lightning</th>')
    const work = formValues(await text('admin', '/register/work?electrode=DEMO-R2'))
    await house.post('admin', '/register/work', { ...work, doneOn: '2025-09-01', what: 'repaired' })
    expect(await text('admin', '/electrodes/DEMO-R2')).toContain('1 September 2025: repaired')
    const nowhere = await house.post('admin', '/register/work', {
      electrodeId: 'NO-SUCH',
      doneOn: '2025-09-01',
      what: 'repaired',
    })
    expect(nowhere.status).toBe(422)
    const form = formValues(await text('admin', '/register/calibration?instrument=DEMO-I1'))
    const dates = { calibratedOn: '2025-02-01', calibrationDueOn: '2026-02-01', accuracyPercent: '2' }
    await house.post('admin', '/register/calibration', { ...form, ...dates })
    expect(await text('field', '/instruments/DEMO-I1')).toContain('Overdue')
    expect(await text('field', '/instruments')).toContain('Never checked')
  })

  it('show how far the instrument was off on its last known resistor', async () => {
    await house.deps.desk.handIn(
      {
        surveyRef: 'CHECK-1',
        instrumentId: 'DEMO-I1',
        testedAt: '2026-05-04T06:00:00Z',
        method: 'check-resistor',
        outcome: 'tested',
        measuredAs: 'not-known',
        knownOhm: 10,
        readings: [{ resistanceOhm: 11.5, condition: 'ok' }],
      },
      { via: 'form', by: 'local:field' },
    )
    expect(await text('field', '/instruments/DEMO-I1')).toContain('+15 % on 4 May 2026')
  })

  it('are for administrators, and of their own sites', async () => {
    for (const path of ['/register/electrode', '/register/limit', '/register/work', '/register/calibration'])
      for (const role of ['field', 'quality', 'engineer'] as const) {
        expect((await house.get(role, path)).status).toBe(403)
        expect((await house.post(role, path, {})).status).toBe(403)
      }
    const north = { sites: ['DEMO-NORTH'] }
    expect((await house.get('admin', '/register/electrode?id=DEMO-S1', north)).status).toBe(403)
    const foreign = { electrodeId: 'DEMO-S1', siteId: 'DEMO-NORTH', kind: 'rod' }
    expect((await house.post('admin', '/register/electrode', foreign, north)).status).toBe(403)
    const work = { electrodeId: 'DEMO-S1', doneOn: '2026-01-01', what: 'repaired' }
    expect((await house.post('admin', '/register/work', work, north)).status).toBe(403)
  })
})

describe('a held survey', () => {
  const path = '/held/DEMO-RX/HELD-1'
  it('is moved to its electrode, whole, with a note of who matched it', async () => {
    await house.deps.desk.handIn(shortSurvey('HELD-1', 'DEMO-RX', '2026-04-30T10:00:00Z', 14), {
      via: 'form',
      by: 'local:field',
    })
    expect((await house.post('field', `${path}/move`, { to: 'DEMO-R2' })).status).toBe(403)
    const wrong = await house.post('quality', `${path}/move`, { to: 'DEMO-R22' })
    expect(wrong.status).toBe(422)
    expect(await wrong.text()).toContain('No electrode “DEMO-R22” is in the register')
    const moved = await house.post('quality', `${path}/move`, { to: 'DEMO-R2' })
    expect(moved.headers.get('Location')).toBe('/electrodes/DEMO-R2/surveys/HELD-1')
    const stored = await house.deps.ledger.getSurvey({ kind: 'electrode', id: 'DEMO-R2' }, 'HELD-1')
    expect(stored?.receivedFrom.by).toBe('local:field')
    expect(stored?.survey.notes).toContain(
      'Handed in for electrode DEMO-RX; matched to DEMO-R2 by Demo quality.',
    )
    expect(await house.deps.ledger.heldFor('DEMO-RX')).toEqual([])
    // Pressed twice: there is nothing held any more.
    expect((await house.post('quality', `${path}/move`, { to: 'DEMO-R2' })).status).toBe(404)
  })

  it('stays held where the electrode has another survey under its reference', async () => {
    const other = shortSurvey('DEMO-R1-2025', 'DEMO-RX', '2026-04-30T11:00:00Z', 14)
    await house.deps.desk.handIn(other, { via: 'form', by: 'local:field' })
    const answer = await house.post('quality', '/held/DEMO-RX/DEMO-R1-2025/move', { to: 'DEMO-R1' })
    expect(answer.status).toBe(422)
    expect(await house.deps.ledger.heldFor('DEMO-RX')).toHaveLength(1)
  })
})

describe('a retest that a step asks for', () => {
  it('is on the list of what is due with its reason, its day and how to make it', async () => {
    const page = await text('quality', '/due?site=DEMO-NORTH')
    expect(page).toMatch(
      /Retest by 27 May 2025: <a [^>]*>a step up<\/a>, found 13 May 2025\. Same line, same stakes\./,
    )
    expect(page).toContain('No test came: it stands as found.')
  })
})

describe('the calendar of due dates', () => {
  const linkIn = (page: string) => /<code class="copy">([^<]+)<\/code>/.exec(page)![1]!

  it('is fetched without sign-in by its link, shows due dates only, and keeps its entries', async () => {
    const page = await (await house.post('engineer', '/due/calendar', {})).text()
    const path = new URL(linkIn(page)).pathname
    const answer = await house.app.request(path)
    expect(answer.headers.get('Content-Type')).toContain('text/calendar')
    const feed = await answer.text()
    expect(feed).toContain('SUMMARY:Earth test due: DEMO-S1 at DEMO-SOUTH')
    expect(feed).toContain('DTSTART;VALUE=DATE:20260613')
    // The last test of R1, of 13 May 2025, found a step: a retest is asked for within 14 days, and says why.
    expect(feed).toContain('SUMMARY:Earth retest due: DEMO-R1 at DEMO-NORTH')
    expect(feed).toContain('DESCRIPTION:Asked for on 2025-05-13 because of: a step up. Same line')
    expect(feed).toContain('DTSTART;VALUE=DATE:20250527')
    expect(feed).not.toMatch(/Ω|ohm|Tester|limit/i)
    const uidOf = (text: string) =>
      /UID:(\S+)(?:(?!END:VEVENT)[\s\S])*DEMO-R1 at/.exec(
        text.slice(text.lastIndexOf('BEGIN:VEVENT', text.indexOf('DEMO-R1 at'))),
      )![1]
    const sequenceOf = (text: string) =>
      Number(
        /SEQUENCE:(\d+)/.exec(text.slice(text.lastIndexOf('BEGIN:VEVENT', text.indexOf('DEMO-R1 at'))))![1],
      )
    await house.deps.desk.handIn(shortSurvey('DEMO-R1-2026', 'DEMO-R1', '2026-05-02T10:00:00Z', 30), {
      via: 'form',
      by: 'local:field',
    })
    await house.compare()
    const later = await (await house.app.request(path)).text()
    expect(later).not.toContain('Earth retest due: DEMO-R1')
    expect(uidOf(later)).toBe(uidOf(feed))
    expect(later).toContain('DTSTART;VALUE=DATE:20270502')
    expect(sequenceOf(later)).toBeGreaterThan(sequenceOf(feed))
  })

  it('ends with a new link, is narrowed to its person, and opens nothing else', async () => {
    const me = { id: 'local:crew', sites: ['DEMO-SOUTH'] }
    const first = linkIn(await (await house.post('field', '/due/calendar', {}, me)).text())
    const feed = await (await house.app.request(new URL(first).pathname)).text()
    expect(feed).toContain('DEMO-S1')
    expect(feed).not.toContain('DEMO-NORTH')
    const second = linkIn(await (await house.post('field', '/due/calendar', {}, me)).text())
    expect((await house.app.request(new URL(first).pathname)).status).toBe(404)
    expect((await house.app.request(new URL(second).pathname)).status).toBe(200)
    expect((await house.app.request(new URL(second).pathname.replace(/.{4}\.ics$/, 'AAAA.ics'))).status).toBe(
      404,
    )
    expect(await text('field', '/due/calendar', me)).not.toContain('class="copy"')
  })

  it('shows what its person may see since the last sign-in, and ends when they sign in no more', async () => {
    const me = { id: 'local:mover', sites: ['DEMO-SOUTH'] }
    const { pathname } = new URL(linkIn(await (await house.post('field', '/due/calendar', {}, me)).text()))
    const { ledger, clock } = house.deps
    const feedOf = async (nowMs: number) => {
      const answer = await createApp({ ...house.deps, clock: { nowMs: () => nowMs } }).request(pathname)
      return answer.status === 200 ? answer.text() : answer.status
    }
    const now = clock.nowMs()
    expect(await feedOf(now)).toContain('DEMO-S1')
    const moved = { id: me.id, name: 'Mover', role: 'field' as const, sites: ['DEMO-NORTH'] }
    await renewCalendarRights({ ledger, clock }, moved)
    expect(await feedOf(now)).not.toContain('DEMO-S1')
    expect(await feedOf(now + 89 * 86_400_000)).toContain('DEMO-NORTH')
    expect(await feedOf(now + 91 * 86_400_000)).toBe(404)
    await renewCalendarRights({ ledger, clock }, { ...moved, id: 'local:without-a-link' })
    expect(await ledger.getFeed('local:without-a-link')).toBeNull()
  })
})

describe('a site', () => {
  it('says how its electrodes stand, and each one’s newest value against its limit', async () => {
    const page = await text('quality', '/sites/DEMO-NORTH')
    // R1 is over its limit; the newest test of R2 gave no value, so its older value tells nothing of today.
    expect(page).toMatch(/<span class="big">1<\/span><span class="aside">tested, no value<\/span>/)
    expect(page).toMatch(/<span class="big">1<\/span><span class="aside">nonconforming<\/span>/)
    expect(page).toMatch(/DEMO-R1<\/a>[\s\S]*?Nonconforming/)
    const own = await text('engineer', '/sites/DEMO-NORTH', { email: 'other@example.org' })
    expect(own).not.toContain('DEMO-R1')
    expect(own).toMatch(/<span class="big">0<\/span><span class="aside">nonconforming<\/span>/)
  })

  it('is in the list of those who see it', async () => {
    const list = await text('field', '/sites', { sites: ['DEMO-SOUTH'] })
    expect(list).toContain('DEMO-SOUTH')
    expect(list).not.toContain('DEMO-NORTH')
  })
})

describe('the fleet', () => {
  it('says how it stands, site by site and together, to whom the sites are; the same as CSV', async () => {
    expect(await text('quality', '/sites')).not.toContain('nonconforming')
    const { ledger } = house.deps
    await countFleet(ledger, everySite(ledger), '2026-05-04T12:00:00Z')
    const page = await text('quality', '/sites')
    expect(page).toContain('counted 4 May 2026, 12:00')
    expect(page).toMatch(/<span class="big">1<\/span><span class="aside">nonconforming<\/span>/)
    expect(page).toMatch(
      /DEMO-NORTH<\/a><\/th><td class="num">\d<\/td><td class="num">0<\/td><td class="num">1<\/td>/,
    )
    const csv = await text('quality', '/sites.csv')
    expect(csv.split('\r\n')[0]).toBe(
      'site_id,electrodes,conforming,nonconforming,inconclusive,not_assessed,no_value,never_tested,overdue,counted_at',
    )
    expect(csv).toMatch(/DEMO-NORTH,\d,0,1,/)
    const south = await text('field', '/sites', { sites: ['DEMO-SOUTH'] })
    expect(south).toMatch(/<span class="big">0<\/span><span class="aside">nonconforming<\/span>/)
    // Counts are of the whole site: who sees only the electrodes that name them is told none.
    expect(await text('engineer', '/sites', { email: 'other@example.org' })).not.toContain('nonconforming')
  })
})

describe('a test that could not be made', () => {
  it('stays due, with the day and the reason of the visit', async () => {
    await house.deps.desk.handIn(
      {
        ...{ surveyRef: 'NO-WAY-IN', electrodeId: 'DEMO-S1', testedAt: '2026-05-03T10:00:00Z' },
        ...{ method: 'fall-of-potential', outcome: 'no-access', measuredAs: 'not-known', readings: [] },
      },
      { via: 'form', by: 'local:field' },
    )
    await house.compare()
    const page = await text('quality', '/due?to=2026-06&site=DEMO-SOUTH')
    expect(page).toContain('13 June 2026')
    expect(page).toContain('3 May 2026: no access')
    expect(page).toContain('href="/plan?electrode=DEMO-S1"')
  })
})

describe('how a site stands', () => {
  it('is never told by an older value when the newest test gave none', () => {
    const test = (ref: string, atMs: number, ohm: number | null) => ({
      test: {
        ...{ surveyRef: ref, electrodeId: 'E', siteId: 'S', testedAtMs: atMs, outcome: 'tested' as const },
        ...{
          resistanceOhm: ohm,
          conformity: ohm === null ? ('not-assessed' as const) : ('conforming' as const),
        },
      } as PriorTest,
      own: [],
    })
    const history = {
      ...emptyHistory({ electrodeId: 'E', siteId: 'S', kind: 'rod' as const }),
      dueOn: '2026-01-01',
    }
    const file = {
      header: null,
      histories: new Map([
        ['E', { history: { ...history, tests: [test('a', 1, 10), test('b', 2, null)] }, text: '', rev: 1 }],
      ]),
    }
    const person = { id: 'q', name: 'Q', role: 'quality' as const, sites: '*' as const }
    const { standings, counts } = summariseSite(file, person, '2026-05-04')
    expect(standings.get('E')).toMatchObject({
      conformity: 'not-assessed',
      overdue: true,
      lastValue: { surveyRef: 'a' },
    })
    expect(counts).toMatchObject({ conforming: 0, 'no-value': 1, overdue: 1 })
  })
})

describe('the test record', () => {
  it('has method, instrument, readings, result, rule, digest and how to recompute it', async () => {
    const page = await text('quality', '/electrodes/DEMO-R1/surveys/DEMO-R1-2025/record')
    const stored = await house.deps.ledger.getSurvey({ kind: 'electrode', id: 'DEMO-R1' }, 'DEMO-R1-2025')
    for (const words of [
      'Fall of potential',
      'DEMO-I1',
      'k = 2',
      'Nonconforming',
      'invented house rule',
      stored!.contentHash,
      'npx stakeline check',
    ])
      expect(page).toContain(words)
  })
})

describe('the queue', () => {
  it('is narrowed by the instrument and the tester that a comparison wrote with each finding', async () => {
    const page = await text('quality', '/findings?instrument=demo-i1&crew=a.%20tester&site=DEMO-NORTH')
    expect(page).toContain('DEMO-I1, A. Tester')
    expect(await text('quality', '/findings?instrument=other')).toContain('No open finding matches.')
  })
})

describe('the page “why”', () => {
  it('shows the picture of what was expected, the explanations with their chances, the trend, and how far to trust it', async () => {
    const { items } = await house.deps.ledger.listFindings({ state: 'all', electrodeId: 'DEMO-R1' })
    const step = items.find((f) => f.code === 'step-rise')!
    const page = await text('quality', `/findings/${step.id}`)
    for (const words of [
      'What it could be',
      'An estimate, not yet checked here: that takes some 300 decisions, and none has been made.',
      'Judged with version',
    ])
      expect(page).toContain(words)
  })
})
