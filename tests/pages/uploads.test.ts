import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { fillDemo } from './demo.ts'
import { type House, openHouse } from './house.ts'
import { formValues } from './markup.ts'
import { takeInAll } from './take-in.ts'

let house: House
beforeAll(async () => {
  house = await openHouse()
  await fillDemo(house)
}, 30_000)
afterAll(() => house.close())

/** A crew's own export: semicolons, decimal comma, headings of its own, day before month. */
const OWN_EXPORT = [
  'Sheet;Rod;When;Stake far;r52;r62;r72;Lorry',
  'W-1;DEMO-R1;04/05/2026 10:20;30;10,9;11,0;11,2;7',
  'W-2;DEMO-R2;04/05/2026 11:20;30;14,1;14,3;14,4;7',
  'W-3;DEMO-R99;04/05/2026 12:20;30;9,1;9,2;9,3;7',
].join('\r\n')

async function send(text: string, more: Record<string, string> = {}, name = 'crew.csv'): Promise<string> {
  const form = new FormData()
  form.set('file', new File([text], name, { type: 'text/csv' }))
  for (const [key, value] of Object.entries(more)) form.set(key, value)
  const answer = await house.post('field', '/uploads', form)
  expect(answer.status).toBe(303)
  return answer.headers.get('Location')!
}

async function page(path: string): Promise<string> {
  const answer = await house.get('field', path)
  return answer.text()
}

const pathOf = (location: string) => location.split('?')[0]!

describe('a file that is looked through', () => {
  it('is shown as understood, every row read, and stores nothing until it is handed in', async () => {
    const csv = [
      'survey_ref;electrode_id;tested_at;current_probe_m;r52_ohm;r62_ohm;r72_ohm',
      'L-1;DEMO-R1;2026-05-04T10:20Z;30;10,9;11,0;11,2',
      'L-2;DEMO-R1;2026-05-04T11:20Z;30;abc;11,0;11,2',
      'L-3;DEMO-R77;2026-05-04T12:20Z;30;9,1;9,2;9,3',
    ].join('\n')
    const at = await send(csv, { action: 'look' })
    const shown = await page(at)
    for (const words of [
      '3 rows read, all of the file.',
      '1 survey would be taken in.',
      '1 survey would be held, because electrode DEMO-R77 is not in the register.',
      '1 survey would be refused for 1 problem',
      '<dt>Cells parted by</dt><dd>semicolon</dd>',
      '<dt>Decimal sign</dt><dd>comma</dd>',
      '15.6 m: 10.9 Ω; 18.6 m: 11 Ω; 21.6 m: 11.2 Ω',
      'Hand in the 2 sound surveys',
    ])
      expect(shown).toContain(words)
    expect(house.uploadsWaiting).toEqual([])
    const subject = { kind: 'electrode', id: 'DEMO-R1' } as const
    expect(await house.deps.ledger.getSurvey(subject, 'L-1')).toBeNull()
    expect((await house.post('field', `${at}/hand-in`, {})).headers.get('Location')).toBe(at)
    // Pressed twice: one message, one taking in.
    await house.post('field', `${at}/hand-in`, {})
    expect(house.uploadsWaiting).toHaveLength(1)
    await takeInAll(house)
    const done = await page(at)
    expect(done).toContain('3 of 3 rows read, complete.')
    expect(done).toContain('3 surveys read: 1 accepted, 1 held until the electrode is matched, 1 refused')
    expect(await house.deps.ledger.getSurvey(subject, 'L-1')).not.toBeNull()
  })

  it('is not another person’s to hand in', async () => {
    const at = await send('survey_ref\n', { action: 'look' })
    expect((await house.post('quality', `${at}/hand-in`, {})).status).toBe(404)
    expect((await house.post('field', `${at}/hand-in`, {}, { id: 'local:other' })).status).toBe(404)
  })

  it('has its columns pointed at, and the next file of the same sender is read so by itself', async () => {
    const at = await send(OWN_EXPORT, { action: 'look' })
    const strange = await page(at)
    expect(strange).toContain('The file as a whole would be refused.')
    expect(strange).toContain('Columns nothing is known by these names')
    const typed: Record<string, string> = { ...formValues(strange), datePattern: 'DD/MM/YYYY HH:mm' }
    const fields = [
      'survey_ref',
      'electrode_id',
      'tested_at',
      'current_probe_m',
      'r52_ohm',
      'r62_ohm',
      'r72_ohm',
    ]
    for (const [i, field] of fields.entries()) typed[`column-${i}`] = field
    expect((await house.post('field', `${at}/look`, typed)).status).toBe(303)
    const clear = await page(at)
    expect(clear).toContain('2 surveys would be taken in.')
    expect(clear).toContain('4 May 2026, 10:20')
    await house.post('field', `${at}/hand-in`, {})
    await takeInAll(house)
    expect(await page(at)).toContain('3 surveys read: 2 accepted, 1 held')

    const next = await send(OWN_EXPORT.replaceAll('W-', 'X-'), { action: 'look' })
    expect(next).toContain('columns=before')
    const again = await page(next)
    expect(again).toContain('read as you pointed them out last time')
    expect(again).toContain('<option value="r52_ohm" selected>')
    expect(again).toContain('2 surveys would be taken in.')
    expect(again).toContain('value="DD/MM/YYYY HH:mm"')
    // Another kind of file is not stretched to fit it.
    expect(await send('survey_ref,electrode_id\nA,B\n', { action: 'look' })).not.toContain('columns=before')
  })

  it('says which of two columns is pointed at twice and keeps the file', async () => {
    const at = await send(OWN_EXPORT, { action: 'look' })
    const typed: Record<string, string> = { ...formValues(await page(at)), 'column-0': 'survey_ref' }
    typed['column-1'] = 'survey_ref'
    await house.post('field', `${pathOf(at)}/look`, typed)
    expect(await page(pathOf(at))).toContain('Two columns mean the same: “Sheet” and “Rod”')
  })
})

describe('refused rows', () => {
  const CSV = [
    'survey_ref,electrode_id,tested_at,current_probe_m,potential_probe_m,resistance_ohm,soil_state,notes',
    'M-1,DEMO-R1,2026-04-01T10:00Z,30,15.6,10.9,moist,',
    'M-1,DEMO-R1,2026-04-01T10:00Z,30,18.6,11.O,moist,',
    'M-1,DEMO-R1,2026-04-01T10:00Z,30,21.6,11.2,moist,',
    'M-2,DEMO-R2,02/04/2026,30,15.6,14.1,moyst,=SUM(A1)',
    'M-2,DEMO-R2,02/04/2026,30,18.6,14.3,moyst,=SUM(A1)',
    'M-3,DEMO-R2,2026-04-03T10:00Z,30,18.6,14.3,,',
  ].join('\n')

  it('are mended where they are shown: one correction for all equal cells, the survey handed in whole', async () => {
    const at = await send(CSV)
    await takeInAll(house)
    const first = await page(at)
    expect(first).toContain('3 surveys read: 1 accepted, 2 refused')
    expect(first).toContain('<strong>soil_state</strong>, 2 cells')
    expect(first).toContain('rows 5, 6')
    expect(first).toContain('perhaps 11.0')
    expect(first).toContain('perhaps 2026-04-02 or 2026-02-04')
    expect(first).toContain('perhaps moist')
    const typed = formValues(first)
    const fixes: Record<string, string> = {
      '11.O': '11.0',
      '02/04/2026': '2026-04-02T10:00Z',
      moyst: 'moist',
    }
    for (const [name, key] of Object.entries(typed).filter(([n]) => n.startsWith('of-')))
      typed[name.replace('of-', 'fix-')] = fixes[JSON.parse(key)[2]] ?? ''
    const answer = await house.post('field', `${at}/mend`, typed)
    expect(answer.status).toBe(303)
    await takeInAll(house)
    const second = await page(answer.headers.get('Location')!)
    expect(second).toContain('2 surveys read: 2 accepted.')
    expect(second).toContain('The upload these rows were mended in')
    const stored = await house.deps.ledger.getSurvey({ kind: 'electrode', id: 'DEMO-R1' }, 'M-1')
    expect(stored?.survey.readings.map((r) => r.resistanceOhm)).toEqual([10.9, 11, 11.2])
    const other = await house.deps.ledger.getSurvey({ kind: 'electrode', id: 'DEMO-R2' }, 'M-2')
    expect(other?.survey).toMatchObject({ soilState: 'moist', notes: '=SUM(A1)' })
    expect(other?.survey.readings).toHaveLength(2)
  })

  it('that are mended wrongly are refused again, with what was typed', async () => {
    const at = await send(CSV.replaceAll('M-', 'N-'))
    await takeInAll(house)
    const typed = formValues(await page(at))
    for (const [name, key] of Object.entries(typed).filter(([n]) => n.startsWith('of-')))
      typed[name.replace('of-', 'fix-')] = JSON.parse(key)[2] === '11.O' ? '1l.0' : ''
    const again = (await house.post('field', `${at}/mend`, typed)).headers.get('Location')!
    await takeInAll(house)
    const shown = await page(again)
    expect(shown).toContain('1 survey read: 0 accepted, 1 refused')
    expect(shown).toContain('<code>1l.0</code>')
  })

  it('ask for at least one correction', async () => {
    const at = await send(CSV.replaceAll('M-', 'P-'))
    await takeInAll(house)
    expect((await house.post('field', `${at}/mend`, {})).status).toBe(422)
  })

  it('come as a file of their own with remarks, which is taken in once it is mended', async () => {
    const at = await send(CSV.replaceAll('M-', 'Q-'))
    await takeInAll(house)
    const answer = await house.get('field', `${at}/refused-rows.csv`)
    const text = Buffer.from(await answer.arrayBuffer()).toString('utf8')
    const lines = text.trimEnd().split('\r\n')
    expect(lines[0]).toMatch(/^\uFEFFsurvey_ref,.*,notes,remark_code,remark_column,remark_problem$/)
    expect(lines).toHaveLength(6)
    expect(text).not.toContain('Q-3')
    expect(text).toContain("'=SUM(A1)")
    expect(lines[2]).toContain('not-a-number,resistance_ohm,')
    const mended = text
      .replaceAll('11.O', '11.0')
      .replaceAll('02/04/2026', '2026-04-02T10:00Z')
      .replaceAll(',moyst,', ',moist,')
    const again = await send(mended)
    await takeInAll(house)
    expect(await page(again)).toContain('2 surveys read: 2 accepted.')
    const stored = await house.deps.ledger.getSurvey({ kind: 'electrode', id: 'DEMO-R2' }, 'Q-2')
    expect(stored?.survey.notes).toBe('=SUM(A1)')
  })
})
