import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { readSurveys, type SurveyEntry } from '../../shared-lib/survey/read-surveys.ts'
import { scanSurveyFile } from '../../shared-lib/survey/scan.ts'
import { type OpenSource, sourceOf } from '../../shared-lib/survey/source.ts'
import { sized } from '../faults/measured.ts'
import { type House, openHouse, rodAt, someone } from '../web-api/house.ts'

async function read(open: OpenSource): Promise<{ entries: SurveyEntry[]; whole: string | null }> {
  const scanned = await scanSurveyFile(open)
  if (!scanned.ok) return { entries: [], whole: scanned.refused.problem }
  const entries: SurveyEntry[] = []
  for await (const entry of readSurveys(open, scanned.plan)) entries.push(entry)
  return { entries, whole: null }
}
const MEGABYTE = 1024 * 1024
const HEADER = 'survey_ref,electrode_id,tested_at,current_probe_m,potential_probe_m,resistance_ohm'
const SOUND = 'S-1,E-1,2026-05-04,30,18.6,10.9'
const taken = (entries: SurveyEntry[]) => entries.filter((e) => e.kind === 'survey').length

describe('a hostile file', () => {
  it('with one line of many megabytes is refused in words, in little memory', async () => {
    const megabytes = sized(24, 100)
    const chunk = Buffer.alloc(MEGABYTE, 'x')
    let given = 0
    const before = process.memoryUsage().rss
    const { whole, entries } = await read(async function* () {
      yield Buffer.from(`${HEADER}\n${SOUND}\nS-2,E-1,`)
      for (let i = 0; i < megabytes; i++) {
        given++
        yield chunk
      }
    })
    expect(whole !== null || entries.some((e) => e.kind === 'refused')).toBe(true)
    expect(given).toBeLessThanOrEqual(3 * megabytes)
    // What is held of an endless line is bounded, whatever its length.
    expect(process.memoryUsage().rss - before).toBeLessThan(80 * MEGABYTE)
  }, 60_000)

  it('with ten thousand columns is read or refused in words', async () => {
    const many = Array.from({ length: 10_000 }, (_, i) => `c${i}`).join(',')
    const text = `${HEADER},${many}\n${SOUND}${',1'.repeat(10_000)}\n`
    const { entries, whole } = await read(sourceOf(Buffer.from(text)))
    expect(whole !== null || taken(entries) === 1).toBe(true)
  })

  it.each([
    ['a zip', Buffer.concat([Buffer.from('PK\u0003\u0004'), Buffer.alloc(2000, 1)])],
    ['a gzip bomb', gzipSync(Buffer.alloc(20 * MEGABYTE))],
    ['a picture', Buffer.concat([Buffer.from('89504e470d0a1a0a', 'hex'), Buffer.alloc(500, 7)])],
    ['a PDF', Buffer.from('%PDF-1.7\n1 0 obj\n')],
    ['an old spreadsheet', Buffer.concat([Buffer.from('d0cf11e0a1b11ae1', 'hex'), Buffer.alloc(800, 3)])],
    ['nothing but NUL', Buffer.alloc(5000)],
    ['nothing but quotes', Buffer.from('"'.repeat(5001))],
    ['nothing but line ends', Buffer.from('\r\n'.repeat(50_000))],
  ])('that is %s is refused as a whole and never unpacked', async (_, bytes) => {
    const before = process.memoryUsage().rss
    const { entries, whole } = await read(sourceOf(bytes))
    expect(whole).not.toBeNull()
    expect(entries).toEqual([])
    expect(process.memoryUsage().rss - before).toBeLessThan(60 * MEGABYTE)
  })

  it.each([
    ['a NUL', 'S-\u0000'],
    ['marks that turn the direction of text', 'S-\u202e1'],
    ['a control character', 'S-\u0007'],
  ])('with %s in a reference refuses that survey or keeps it apart, and takes the others', async (_, ref) => {
    const text = `${HEADER}\n${SOUND}\n${SOUND.replace('S-1', ref)}\n`
    const { entries, whole } = await read(sourceOf(Buffer.from(text)))
    // A NUL may tell that it is no text at all; then the file is refused, in words.
    if (whole !== null) return expect(ref).toContain('\u0000')
    expect(entries).toHaveLength(2)
    expect(entries.filter((e) => e.kind === 'survey' && e.survey.surveyRef === 'S-1')).toHaveLength(1)
  })

  it.each(['\u0661\u0662', '\uff11\uff12', '\u00bd', '\u2460'])(
    'with the digits %s in a number is refused there, not guessed',
    async (digits) => {
      const text = `${HEADER}\n${SOUND.replace('10.9', digits)}\n`
      const { entries } = await read(sourceOf(Buffer.from(text)))
      expect(entries).toMatchObject([{ kind: 'refused', column: 'resistance_ohm' }])
    },
  )

  it('with headings and references named like parts of every object is read as any other', async () => {
    const text = `${HEADER},__proto__,constructor\n${['__proto__', 'constructor', 'toString'].map((ref) => `${SOUND.replace('S-1', ref)},x,y`).join('\n')}\n`
    const { entries } = await read(sourceOf(Buffer.from(text)))
    expect(entries.map((e) => (e.kind === 'survey' ? e.survey.surveyRef : e.problem))).toEqual([
      '__proto__',
      'constructor',
      'toString',
    ])
    expect(({} as Record<string, unknown>).x).toBeUndefined()
  })
})

describe('a hostile request', () => {
  let house: House
  const admin = someone('admin')
  beforeAll(async () => {
    house = await openHouse()
    await house.call(admin, 'PUT', '/api/electrodes/E-1', rodAt('North'))
  }, 30_000)
  afterAll(() => house.close())

  it.each([
    '..%2f..%2f..%2fetc%2fpasswd',
    '..%5c..%5cx',
    'x%00.eml',
    '/etc/passwd',
    'C:%5cx',
    '%252e%252e%252f',
  ])('for the file %s reaches nothing outside the house', async (name) => {
    for (const path of [
      `/api/uploads/${name}`,
      `/api/electrodes/${name}`,
      `/assets/${name}`,
      `/problems/${name}`,
      `/api/column-maps/${name}`,
    ]) {
      const answer = await house.call(admin, 'GET', path)
      expect(answer.status).toBeGreaterThanOrEqual(400)
      expect(answer.status).toBeLessThan(500)
      expect(await answer.text()).not.toContain('root:')
    }
  })

  it('names its file as it likes: the archive has its own names', async () => {
    const csv = { 'Content-Type': 'text/csv' }
    for (const name of ['../../x.csv', 'a\u0000b', 'x'.repeat(200), '<b>.csv', '=1+1']) {
      const path = `/api/uploads?fileName=${encodeURIComponent(name)}`
      const answer = await house.call(admin, 'POST', path, 'a,b\n', csv)
      expect(answer.status).toBe(202)
      const { id } = (await answer.json()) as { id: string }
      expect((await house.deps.ledger.getUpload(id))!.archiveKey).toBe(`uploads/${id}`)
    }
  })

  it('with a number too small for anything that is measured is refused: a store may keep 0 of it', async () => {
    const answer = await house.call(admin, 'PUT', '/api/electrodes/E-9', rodAt('North', { areaM2: 5e-324 }))
    expect(answer.status).toBe(422)
    const { errors } = (await answer.json()) as { errors: { pointer: string }[] }
    expect(errors.map((e) => e.pointer)).toEqual(['/areaM2'])
  })

  it('that says its body is packed is read as it stands: nothing is unpacked', async () => {
    const body = gzipSync(Buffer.alloc(5 * MEGABYTE, 'a'))
    const answer = await house.app.request('/api/surveys', {
      method: 'POST',
      body,
      headers: {
        Authorization: `Bearer ${await house.bearer(admin)}`,
        'Content-Type': 'application/json',
        'Content-Encoding': 'gzip',
      },
    })
    expect(answer.status).toBe(400)
  })

  it('with a formula in a text field comes back in the export as text, and numbers stay numbers', async () => {
    const survey = {
      surveyRef: '=1+1',
      electrodeId: 'E-1',
      testedAt: '2026-04-01T10:00:00Z',
      currentProbeM: 30,
      tester: '@SUM(A1)',
      notes: "=cmd|'/c calc'!A1",
      readings: [{ potentialProbeM: 18.6, resistanceOhm: 10.9 }],
    }
    expect((await house.call(admin, 'POST', '/api/surveys', survey)).status).toBe(201)
    const csv = await (await house.call(admin, 'GET', '/api/export/surveys.csv')).text()
    expect(csv).toContain('10.9')
    for (const cell of csv.split(/[,\n]/)) expect(cell.replace(/^"/, '')).not.toMatch(/^[=@]/)
  })
})
