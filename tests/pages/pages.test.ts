import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Upload } from '../../shared-lib/ledger/kept/upload.ts'
import type { Role } from '../../shared-lib/ports/identity.ts'
import { fillDemo, shortSurvey } from './demo.ts'
import { type House, NOW_MS, openHouse } from './house.ts'
import { allIds, inlineProblems, namedIds, summaryLines } from './markup.ts'

const MAIL = [
  'From: stakeline <stakeline@example.org>',
  'To: engineer@example.org',
  'Subject: =?UTF-8?Q?R1=3A_31_=CE=A9?=',
  'Date: Mon, 04 May 2026 11:00:00 +0000',
  'Content-Type: text/plain; charset=utf-8',
  '',
  'See http://127.0.0.1:4700/electrodes/DEMO-R1. <script>alert(1)</script> https://elsewhere.example.org/x',
].join('\r\n')

let house: House
beforeAll(async () => {
  house = await openHouse({
    outbox: {
      list: async () => [
        { id: 'm1', to: 'engineer@example.org', subject: 'R1: 31 Ω', sentAtMs: NOW_MS - 3_600_000 },
      ],
      read: async (id) => (id === 'm1' ? MAIL : null),
    },
  })
  await fillDemo(house)
  await house.deps.desk.handIn(shortSurvey('DEMO-HELD', 'DEMO-R77', '2026-05-01T10:00:00Z', 10), {
    via: 'form',
    by: 'local:field',
  })
  await house.deps.desk.handIn(
    {
      surveyRef: 'DEMO-SOIL',
      siteId: 'DEMO-NORTH',
      testedAt: '2026-05-01T10:00:00Z',
      method: 'four-point',
      outcome: 'tested',
      measuredAs: 'not-known',
      readings: [1, 2, 4].map((spacing) => ({
        probeSpacingM: spacing,
        resistanceOhm: 16 / spacing,
        condition: 'ok',
      })),
    },
    { via: 'form', by: 'local:field' },
  )
  await house.deps.ledger.putUpload(UPLOAD)
  await house.deps.ledger.checkpointUpload(
    {
      ...UPLOAD,
      state: 'done',
      surveysAccepted: 37,
      surveysAlreadyThere: 1,
      surveysHeld: 1,
      surveysRefused: 25,
      rowsRefused: 25,
      ignoredColumns: ['Van'],
    },
    Array.from({ length: 25 }, (_, i) => ({
      kind: 'refused' as const,
      row: 2 + i,
      column: 'resistance_ohm',
      value: i === 0 ? '=1+2' : 'abc',
      code: 'not-a-number',
      problem: 'resistance_ohm says “abc”, which is not a number.',
      surveyRef: `S-${i}`,
    })),
  )
}, 30_000)
afterAll(() => house.close())

const UPLOAD: Upload = {
  id: 'u1',
  state: 'working',
  fileName: 'north <2026>.csv',
  archiveKey: 'uploads/u1',
  byteLength: 12_345,
  by: 'local:quality',
  role: 'quality',
  sites: '*',
  receivedAt: '2026-05-04T11:00:00.000Z',
  options: {},
  ignoredColumns: [],
  checkpoint: 0,
  rowsRead: 120,
  rowsTotal: 200,
  surveysAccepted: 0,
  surveysAlreadyThere: 0,
  surveysHeld: 0,
  surveysRefused: 0,
  rowsRefused: 0,
}

async function text(role: Role, path: string, more = {}): Promise<string> {
  return (await house.get(role, path, more)).text()
}

async function openFinding(code: string): Promise<string> {
  const { items } = await house.deps.ledger.listFindings({ state: 'open' })
  const found = items.find((f) => f.code === code)
  if (!found) throw new Error(`no open ${code} among ${items.map((f) => f.code)}`)
  return found.id
}

const PAGES = [
  '/',
  '/surveys/new',
  '/surveys/new?electrode=DEMO-R1',
  '/electrodes',
  '/electrodes?site=DEMO-NORTH',
  '/electrodes/DEMO-R1',
  '/electrodes/DEMO-G1',
  '/electrodes/DEMO-R1/surveys/DEMO-R1-2025',
  '/electrodes/DEMO-R2/surveys/DEMO-R2-OPEN?received=new',
  '/sites/DEMO-NORTH',
  '/sites/DEMO-NORTH/surveys/DEMO-SOIL',
  '/findings',
  '/findings?state=all&site=DEMO-NORTH',
  '/uploads',
  '/uploads/u1',
  '/due',
  '/due?to=2027-05',
  '/held',
  '/held/DEMO-R77/DEMO-HELD',
  '/outbox',
  '/outbox/m1',
  '/electrodes/DEMO-R1/surveys/DEMO-R1-2025/record',
  '/findings?group=kind',
  '/sites',
  '/instruments',
  '/due/calendar',
]

describe('every page', () => {
  it.each(PAGES)(
    '%s is whole: one heading, labels and descriptions that lead somewhere, nothing inline',
    async (path) => {
      const answer = await house.get('quality', path)
      expect(answer.status).toBe(200)
      expect(answer.headers.get('Content-Security-Policy')).toContain("default-src 'none'")
      expect(answer.headers.get('Content-Security-Policy')).not.toContain('unsafe')
      expect(answer.headers.get('Cache-Control')).toBe(
        path.startsWith('/surveys/new') ? 'private, no-cache' : 'no-store',
      )
      const page = await answer.text()
      expect(page.match(/<h1[\s>]/g)).toHaveLength(1)
      const ids = allIds(page)
      expect(ids.filter((id, i) => ids.indexOf(id) !== i)).toEqual([])
      expect(namedIds(page).filter((id) => !ids.includes(id))).toEqual([])
      expect(page).not.toMatch(/<script|\sstyle="|\son[a-z]+="/)
      expect(page).not.toMatch(/undefined|NaN|\[object|Infinity/)
    },
  )

  it('leads anyone who is not signed in to the sign-in page and back', async () => {
    const answer = await house.app.request('/electrodes/DEMO-R1?x=1', { headers: { Accept: 'text/html' } })
    expect(answer.status).toBe(303)
    expect(answer.headers.get('Location')).toBe(
      `/sign-in?back=${encodeURIComponent('/electrodes/DEMO-R1?x=1')}`,
    )
  })

  it('brings its stylesheet from an address that changes with its content', async () => {
    const href = /<link rel="stylesheet" href="([^"]+)">/.exec(await text('field', '/'))?.[1] ?? ''
    expect(href).toMatch(/^\/assets\/stakeline\.css\?v=[0-9a-f]{12}$/)
    const answer = await house.app.request(href)
    expect(answer.headers.get('Content-Type')).toContain('text/css')
    expect(answer.headers.get('Cache-Control')).toContain('immutable')
  })

  it('escapes what people wrote', async () => {
    expect(await text('quality', '/electrodes')).toContain('yard &lt;west&gt;')
    expect(await text('quality', '/uploads/u1')).toContain('north &lt;2026&gt;.csv')
  })
})

describe('who sees what', () => {
  const north = { sites: ['DEMO-NORTH'] }

  it('shows a crew its own sites only', async () => {
    const list = await text('field', '/electrodes', north)
    expect(list).toContain('DEMO-R1')
    expect(list).not.toContain('DEMO-S1')
    for (const path of [
      '/electrodes/DEMO-S1',
      '/electrodes/DEMO-S1/surveys/DEMO-S1-2025',
      '/sites/DEMO-SOUTH',
      '/findings?site=DEMO-SOUTH',
      '/due?site=DEMO-SOUTH',
    ])
      expect([path, (await house.get('field', path, north)).status]).toEqual([path, 403])
    expect(await text('field', '/findings', north)).not.toContain('DEMO-S1')
    expect(await text('field', '/due?to=2027-05', north)).not.toContain('DEMO-S1')
  })

  it('offers a crew no decision and takes none from it', async () => {
    expect(await text('field', '/findings')).not.toContain('class="decide"')
    const id = await openFinding('step-rise')
    expect((await house.post('field', `/findings/${id}/decisions`, { action: 'confirm' })).status).toBe(403)
    expect((await house.deps.ledger.getFinding(id))?.state).toBe('open')
  })

  it('shows an engineer the electrodes whose register names the address', async () => {
    const list = await text('engineer', '/electrodes', { email: 'engineer@example.org' })
    expect(list).toContain('DEMO-R1')
    expect(list).not.toContain('DEMO-R2')
    expect(
      (await house.get('engineer', '/electrodes/DEMO-R2', { email: 'engineer@example.org' })).status,
    ).toBe(403)
  })

  it('keeps held surveys, other people’s uploads and the outbox from a crew', async () => {
    expect((await house.get('field', '/held')).status).toBe(403)
    expect((await house.get('field', '/uploads/u1')).status).toBe(404)
    expect((await house.get('field', '/outbox')).status).toBe(403)
    expect(await text('field', '/uploads')).not.toContain('north')
  })
})

describe('an electrode', () => {
  it('is found by a part of its place, and at once by its id', async () => {
    expect(await text('quality', '/electrodes?q=PUMP%20house')).toContain('DEMO-R1')
    expect(await text('quality', '/electrodes?q=PUMP%20house')).not.toContain('DEMO-R2')
    const answer = await house.get('quality', '/electrodes?q=DEMO-R2')
    expect(answer.headers.get('Location')).toBe('/electrodes/DEMO-R2')
  })

  it('shows its limit, its history as picture and table, the trend, and what is open', async () => {
    const page = await text('quality', '/electrodes/DEMO-R1')
    for (const words of [
      'limit 25 Ω',
      'Theil-Sen slope',
      'Mann-Kendall S',
      'A step up',
      'buried 10 kV cable',
      'Outage only',
    ])
      expect(page).toContain(words)
    expect(page.match(/<circle class="dot"/g)).toHaveLength(6)
    expect(page.indexOf(', survey DEMO-R1-2025</span>')).toBeLessThan(
      page.indexOf(', survey DEMO-R1-2020</span>'),
    )
  })

  it('says so when nothing was ever handed in', async () => {
    expect(await text('quality', '/electrodes/DEMO-G1')).toContain('No survey has been handed in')
  })
})

describe('deciding', () => {
  it('asks for a reason to set aside, keeps what was typed, and says it beside the control', async () => {
    const id = await openFinding('step-rise')
    const answer = await house.post('quality', `/findings/${id}/decisions`, {
      action: 'set-aside',
      reason: ' ',
    })
    expect(answer.status).toBe(422)
    const page = await answer.text()
    expect(summaryLines(page)).toHaveLength(1)
    expect(allIds(page)).toContain(summaryLines(page)[0]!.fieldId)
    expect([...inlineProblems(page).values()]).toEqual([summaryLines(page)[0]!.message])
  })

  it('goes back to the queue, says what was done, and undoes it in one press', async () => {
    const id = await openFinding('limit-exceeded')
    const back = '/findings?site=DEMO-NORTH'
    const decided = await house.post('quality', `/findings/${id}/decisions`, {
      action: 'confirm',
      reason: 'seen on site',
      back,
    })
    expect(decided.status).toBe(303)
    const location = decided.headers.get('Location')!
    expect(location).toBe(
      `/findings?site=DEMO-NORTH&decided=${encodeURIComponent(id).replaceAll('%20', '+')}&action=confirm`,
    )
    const page = await text('quality', location)
    expect(page).toContain('Decided: confirmed.')
    expect(page).toContain('name="action" value="reopen"')
    expect((await house.deps.ledger.getFinding(id))?.state).toBe('closed')
    const late = await house.post(
      'quality',
      `/findings/${id}/decisions`,
      { action: 'accept' },
      { id: 'local:second' },
    )
    expect(late.status).toBe(409)
    expect(await late.text()).toContain('Demo quality')
    await house.post('quality', `/findings/${id}/decisions`, { action: 'reopen', back })
    expect((await house.deps.ledger.getFinding(id))?.state).toBe('open')
    const trail = await text('quality', `/findings/${id}`)
    expect(trail).toContain('seen on site')
    expect(trail).toContain('opened again')
  })

  it('leads back only to pages of its own', async () => {
    const id = await openFinding('limit-exceeded')
    for (const back of [
      'https://elsewhere.example.org/',
      '//elsewhere.example.org',
      '/findings\\..\\x',
      '/sign-out',
    ]) {
      const answer = await house.post('quality', `/findings/${id}/decisions`, { action: 'retest', back })
      const to = new URL(answer.headers.get('Location')!, 'http://here')
      expect([to.origin, to.pathname]).toEqual(['http://here', `/findings/${encodeURIComponent(id)}`])
      await house.post('quality', `/findings/${id}/decisions`, { action: 'reopen' })
    }
  })

  it('shows a finding with its numbers, the earlier tests and the picture', async () => {
    const page = await text('quality', `/findings/${await openFinding('step-rise')}`)
    expect(page).toMatch(/3[01](\.\d+)? Ω, expected 11\.\d+ Ω/)
    expect(page).toContain('Earlier tests it was compared with')
    expect(page).toContain('<circle class="here"')
  })
})

describe('uploads', () => {
  it('takes a file, keeps its bytes, and leads to its progress', async () => {
    const form = new FormData()
    const bytes = new Uint8Array([
      0xef,
      0xbb,
      0xbf,
      ...new TextEncoder().encode('survey_ref;tested_at\r\nÄ;1\r\n'),
    ])
    form.set('file', new File([bytes], 'crew 7.csv', { type: 'text/csv' }))
    form.set('decimalSign', ',')
    form.set('datePattern', 'DD/MM/YYYY HH:mm')
    const answer = await house.post('field', '/uploads', form)
    expect(answer.status).toBe(303)
    const id = answer.headers.get('Location')!.split('/').at(-1)!
    expect(house.uploadsWaiting).toContain(id)
    const upload = await house.deps.ledger.getUpload(id)
    expect(upload).toMatchObject({
      fileName: 'crew 7.csv',
      by: 'local:field',
      byteLength: bytes.length,
      options: { decimalSign: ',', datePattern: 'DD/MM/YYYY HH:mm' },
    })
    const kept: Uint8Array[] = []
    for await (const chunk of house.deps.archive.open(upload!.archiveKey)) kept.push(chunk)
    expect(Buffer.concat(kept).equals(Buffer.from(bytes))).toBe(true)
    expect(await text('field', `/uploads/${id}`)).toContain('<meta http-equiv="refresh" content="2">')
  })

  it('offers the saved column maps and reads the file by the one that was chosen', async () => {
    const map = { columns: { Prüfling: { field: 'electrode_id' } } }
    await house.deps.ledger.putColumnMap('crew sheets', map)
    expect(await text('field', '/uploads')).toContain('<option value="crew sheets">crew sheets</option>')
    const form = new FormData()
    form.set('file', new File(['a,b\n'], 'x.csv'))
    form.set('columnMap', 'crew sheets')
    const answer = await house.post('field', '/uploads', form)
    const wrong = new FormData()
    wrong.set('file', new File(['a,b\n'], 'x.csv'))
    wrong.set('columnMap', 'no such map')
    expect((await house.post('field', '/uploads', wrong)).status).toBe(422)
    expect(answer.status).toBe(303)
    const upload = await house.deps.ledger.getUpload(answer.headers.get('Location')!.split('/').at(-1)!)
    expect(upload?.options).toEqual({
      columnMap: { columns: [{ heading: 'Prüfling', field: 'electrode_id' }] },
    })
  })

  it('asks for a file and for a pattern that can be read', async () => {
    const form = new FormData()
    form.set('file', new File([], ''))
    form.set('datePattern', 'day first')
    const answer = await house.post('field', '/uploads', form)
    expect(answer.status).toBe(422)
    const page = await answer.text()
    expect(summaryLines(page).map((l) => l.fieldId)).toEqual(['file', 'datePattern'])
    expect(page).toContain('value="day first"')
  })

  it('says what became of each survey in totals that add up, and groups equal errors', async () => {
    const page = await text('quality', '/uploads/u1')
    expect(page).toContain(
      '64 surveys read: 37 accepted, 1 already there, 1 held until the electrode is matched, 25 refused',
    )
    expect(page).not.toContain('http-equiv="refresh"')
    expect(page).toContain('Van')
    expect(page).toContain('<strong>resistance_ohm</strong>, 25 cells')
    expect(page).toContain('rows 3, 4, 5, 6, 7, 8 and 18 more')
    expect(page).toContain('<th scope="row">row 2</th><td><code>=1+2</code></td>')
  })

  it('gives every refused row as CSV, with nothing that a spreadsheet would run', async () => {
    const answer = await house.get('quality', '/uploads/u1/refused.csv')
    expect(answer.headers.get('Content-Disposition')).toContain('attachment')
    const bytes = Buffer.from(await answer.arrayBuffer())
    const lines = bytes.toString('utf8').trimEnd().split('\r\n')
    expect(lines).toHaveLength(26)
    expect(lines[0]).toBe('\uFEFFrow,column,value,code,problem,survey_ref')
    expect(lines[1]).toContain(',"\'=1+2",')
    expect(lines[25]!.startsWith('26,resistance_ohm,abc,not-a-number,')).toBe(true)
  })
})

describe('what is due', () => {
  it('is shown up to the month asked for, overdue in words', async () => {
    const may = await text('quality', '/due')
    expect(may).toContain('DEMO-R1')
    expect(may).not.toContain('DEMO-S1')
    expect(await text('quality', '/due?to=2026-06')).toContain('DEMO-S1')
    expect((await house.get('quality', '/due?to=2026-13')).status).toBe(404)
  })
})

describe('the outbox', () => {
  it('shows a mail as text, with links to this service only', async () => {
    const page = await text('quality', '/outbox/m1')
    expect(page).toContain('<h1>R1: 31 Ω</h1>')
    expect(page).toContain('<a href="/electrodes/DEMO-R1">http://127.0.0.1:4700/electrodes/DEMO-R1</a>.')
    expect(page).toContain('&lt;script&gt;')
    expect(page).not.toContain('<a href="https://elsewhere')
    expect((await house.get('quality', '/outbox/none')).status).toBe(404)
  })
})
