import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type House, NOW_MS, openHouse, someone } from './house.ts'

const crew = someone('field', { sites: ['North'] })
const CSV = 'survey_ref;electrode_id\r\nU-1;E-7 é\r\n'
let house: House

beforeAll(async () => {
  house = await openHouse({ maxUploadBytes: 2000 })
}, 30_000)
afterAll(() => house.close())

async function archived(id: string): Promise<Buffer> {
  const chunks: Uint8Array[] = []
  for await (const chunk of house.deps.archive.open(`uploads/${id}`)) chunks.push(chunk)
  return Buffer.concat(chunks)
}
const send = (
  body: string | FormData | Uint8Array,
  path = '/api/uploads',
  headers: Record<string, string> = { 'Content-Type': 'text/csv' },
) => house.call(crew, 'POST', path, body as string, headers)
const idOf = async (answer: Response) => ((await answer.json()) as { id: string }).id

describe('POST /api/uploads', () => {
  it('keeps a raw CSV byte for byte, writes it down and tells intake', async () => {
    const bytes = new Uint8Array([0xff, 0xfe, 0x41, 0x00, 0xe9, 0x0a])
    const answer = await house.app.request('/api/uploads?fileName=north.csv&decimalSign=%2C', {
      method: 'POST',
      body: bytes,
      headers: { Authorization: `Bearer ${await house.bearer(crew)}`, 'Content-Type': 'text/csv' },
    })
    expect(answer.status).toBe(202)
    const id = await idOf(answer)
    expect(new Uint8Array(await archived(id))).toEqual(bytes)
    expect(house.toIntake.at(-1)?.body).toEqual({ uploadId: id })
    expect(await house.deps.ledger.getUpload(id)).toMatchObject({
      state: 'received',
      fileName: 'north.csv',
      byteLength: 6,
      by: 'local:field',
      role: 'field',
      sites: ['North'],
      options: { decimalSign: ',' },
      receivedAt: new Date(NOW_MS).toISOString(),
    })
  })

  it('takes a form with a file and its options', async () => {
    const form = new FormData()
    form.set('file', new File([CSV], 'crew.csv', { type: 'text/csv' }))
    form.set('datePattern', 'DD/MM/YYYY HH:mm')
    form.set('columnMap', '{"columns":{"Our number":"survey_ref"}}')
    const answer = await send(form, '/api/uploads', {})
    expect(answer.status).toBe(202)
    const id = await idOf(answer)
    expect((await archived(id)).toString()).toBe(CSV)
    expect(await house.deps.ledger.getUpload(id)).toMatchObject({
      fileName: 'crew.csv',
      options: {
        datePattern: 'DD/MM/YYYY HH:mm',
        columnMap: { columns: [{ heading: 'Our number', field: 'survey_ref' }] },
      },
    })
  })

  it('takes a saved column map by its name, as it is now', async () => {
    await house.deps.ledger.putColumnMap('north crew', { columns: { Ohms: 'resistance_ohm' } })
    const id = await idOf(await send(CSV, '/api/uploads?columnMap=north%20crew'))
    const upload = await house.deps.ledger.getUpload(id)
    expect(upload?.options).toEqual({
      columnMap: { columns: [{ heading: 'Ohms', field: 'resistance_ohm' }] },
    })
  })

  it('gives the same file sent twice two ids: what is in it is known by its surveys', async () => {
    expect(await idOf(await send(CSV))).not.toBe(await idOf(await send(CSV)))
  })

  it.each([
    ['a file over the limit', 'x'.repeat(2001), '/api/uploads', 'text/csv', 413],
    ['nothing', '', '/api/uploads', 'text/csv', 422],
    ['JSON', '{}', '/api/uploads', 'application/json', 415],
    ['a form without boundary', 'abc', '/api/uploads', 'multipart/form-data', 400],
    ['an unknown decimal sign', CSV, '/api/uploads?decimalSign=x', 'text/csv', 422],
    ['a date pattern that is none', CSV, '/api/uploads?datePattern=someday', 'text/csv', 422],
    ['a column map nobody saved', CSV, '/api/uploads?columnMap=nobody', 'text/csv', 422],
    ['a misspelt option', CSV, '/api/uploads?decimalsign=,', 'text/csv', 422],
  ])('refuses %s and keeps nothing', async (_what, body, path, type, status) => {
    const before = house.toIntake.length
    expect((await send(body, path, { 'Content-Type': type })).status).toBe(status)
    expect(house.toIntake.length).toBe(before)
  })

  it('stops reading a body without length at the limit', async () => {
    let given = 0
    const endless = new ReadableStream<Uint8Array>({
      pull(controller) {
        given += 500
        controller.enqueue(new Uint8Array(500))
      },
    })
    const init = { method: 'POST', body: endless, duplex: 'half' } as RequestInit
    const headers = { Authorization: `Bearer ${await house.bearer(crew)}`, 'Content-Type': 'text/csv' }
    const answer = await house.app.request('/api/uploads', { ...init, headers })
    expect(answer.status).toBe(413)
    expect(((await answer.json()) as { detail: string }).detail).toContain('/api/uploads/ticket')
    expect(given).toBeLessThan(10_000)
  })
})

describe('GET /api/uploads/{id}', () => {
  it('tells counts and refused rows, and the rest by cursor', async () => {
    const id = await idOf(await send(CSV))
    const upload = (await house.deps.ledger.getUpload(id))!
    const refused = Array.from({ length: 1200 }, (_, i) => ({
      kind: 'refused' as const,
      row: i + 2,
      column: 'resistance_ohm',
      value: 'abc',
      code: 'not-a-number',
      problem: 'Write a number.',
    }))
    const done = { ...upload, state: 'done' as const, checkpoint: 5, surveysAccepted: 5, rowsRefused: 1200 }
    await house.deps.ledger.checkpointUpload(done, refused)
    type Told = { state: string; rowsRefused: number; refused: { row: number }[]; next: string | null }
    const first = (await (await house.call(crew, 'GET', `/api/uploads/${id}`)).json()) as Told
    expect(first).toMatchObject({ id, state: 'done', surveysAccepted: 5, rowsRefused: 1200 })
    expect(first.refused).toHaveLength(1000)
    const cursor = encodeURIComponent(first.next!)
    const rest = (await (await house.call(crew, 'GET', `/api/uploads/${id}?cursor=${cursor}`)).json()) as Told
    expect(rest.refused.map((r) => r.row)).toEqual(refused.slice(1000).map((r) => r.row))
    expect(rest.next).toBeNull()
  })

  it('is for its sender, the quality team and administrators', async () => {
    const id = await idOf(await send(CSV))
    const asked = async (who: Parameters<House['call']>[0]) =>
      (await house.call(who, 'GET', `/api/uploads/${id}`)).status
    expect(await asked(someone('quality'))).toBe(200)
    expect(await asked(someone('admin'))).toBe(200)
    expect(await asked(someone('engineer'))).toBe(403)
    expect(await asked(someone('field', { id: 'local:other-crew', sites: ['North'] }))).toBe(403)
  })
})

describe('an upload ticket', () => {
  type Ticket = {
    id: string
    url: string
    method: string
    headers: Record<string, string>
    expiresAt: string
  }
  const ask = async () =>
    (await (
      await house.call(crew, 'POST', '/api/uploads/ticket', { fileName: 'big.csv', decimalSign: '.' })
    ).json()) as Ticket
  const put = (url: string, body: string) =>
    house.app.request(url, { method: 'PUT', body, headers: { 'Content-Type': 'text/csv' } })

  it('takes one file larger than the ordinary limit, without a token, as the person who asked', async () => {
    const ticket = await ask()
    const big = `${CSV}${'x'.repeat(5000)}`
    const answer = await put(ticket.url, big)
    expect(answer.status).toBe(202)
    expect(await answer.json()).toEqual({ id: ticket.id, state: 'received' })
    expect((await archived(ticket.id)).toString()).toBe(big)
    expect(await house.deps.ledger.getUpload(ticket.id)).toMatchObject({
      by: 'local:field',
      sites: ['North'],
      fileName: 'big.csv',
      options: { decimalSign: '.' },
    })
  })

  it('answers a second sending with the first upload, and tells intake again while it was not begun', async () => {
    const ticket = await ask()
    await put(ticket.url, CSV)
    const before = house.toIntake.length
    const again = await put(ticket.url, 'something else')
    expect(again.status).toBe(202)
    expect((await archived(ticket.id)).toString()).toBe(CSV)
    expect(house.toIntake.length).toBe(before + 1)
  })

  it('takes a saved column map by name, and a long one by name only', async () => {
    await house.deps.ledger.putColumnMap('big', { columns: { Ohms: 'resistance_ohm' } })
    const ask = async (columnMap: string) => house.call(crew, 'POST', '/api/uploads/ticket', { columnMap })
    const ticket = (await (await ask('big')).json()) as Ticket
    expect((await put(ticket.url, CSV)).status).toBe(202)
    expect((await house.deps.ledger.getUpload(ticket.id))?.options).toMatchObject({
      columnMap: { columns: [{ heading: 'Ohms', field: 'resistance_ohm' }] },
    })
    const columns = Object.fromEntries(Array.from({ length: 300 }, (_, i) => [`heading ${i}`, 'notes']))
    const long = await ask(JSON.stringify({ columns }))
    expect(long.status).toBe(422)
    expect(await long.json()).toMatchObject({ errors: [{ pointer: '/columnMap', code: 'too-long' }] })
  })

  it('is good for its own upload and its own time only', async () => {
    const [one, other] = [await ask(), await ask()]
    const token = new URL(one.url).searchParams.get('ticket')!
    expect((await put(`/api/uploads/${other.id}/content?ticket=${token}`, CSV)).status).toBe(403)
    expect((await put(`${one.url.slice(0, -4)}AAAA`, CSV)).status).toBe(403)
    house.setNow(Date.parse(one.expiresAt) + 1000)
    expect((await put(one.url, CSV)).status).toBe(403)
    house.setNow(NOW_MS)
  })
})
