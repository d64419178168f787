import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { fillDemo } from './demo.ts'
import { type House, openHouse } from './house.ts'

let house: House
beforeAll(async () => {
  house = await openHouse()
  await fillDemo(house)
}, 30_000)
afterAll(() => house.close())

/** What a person reads: the main part without its tags. */
const visibleText = (page: string): string =>
  (/<main[\s\S]*<\/main>/.exec(page)?.[0] ?? page)
    .replaceAll(/<(style|script)[\s\S]*?<\/\1>/g, '')
    .replaceAll(/<[^>]+>/g, ' ')
    .replaceAll(/\s+/g, ' ')

let serial = 0
/** Hands the form in as a browser posts it, follows to the survey's page and on to the record to print; both as text. */
async function handIn(
  test: string,
  typed: Record<string, string>,
): Promise<{ survey: string; record: string }> {
  const answer = await house.post('field', '/surveys/new', {
    surveyRef: `F-METHOD${++serial}`,
    test,
    shown: test,
    unit: 'm',
    testedAt: '2026-05-04T10:20',
    tester: 'B. Crew',
    action: 'hand-in',
    ...typed,
  })
  const location = answer.headers.get('Location') ?? ''
  expect([answer.status, location]).toEqual([303, expect.stringContaining('/surveys/F-METHOD')])
  const page = await (await house.get('field', location)).text()
  const link = /href="([^"]+\/record)"/.exec(page)?.[1]
  if (!link) throw new Error('no link to the record to print')
  const record = await house.get('field', link)
  expect(record.status).toBe(200)
  return { survey: visibleText(page), record: visibleText(await record.text()) }
}

const rows = (readings: [distance: string, ohm: string][]): Record<string, string> =>
  Object.fromEntries(
    readings.flatMap(([distance, ohm], i) => [
      [`r${i}-distance`, distance],
      [`r${i}-depth`, ''],
      [`r${i}-ohm`, ohm],
      [`r${i}-condition`, 'ok'],
    ]),
  )

describe('methods other than fall of potential, from the form to the record', () => {
  it('two-point: the leads are taken off, and the record names both ends and what was taken off', async () => {
    const { survey, record } = await handIn('two-point', {
      electrodeId: 'DEMO-R1',
      fromPoint: 'main bar',
      toPoint: 'water pipe',
      leadResistanceOhm: '0.02',
      ...rows([['', '0.06']]),
    })
    expect(survey).toMatch(/0\.040+ ± [\d.]+ Ω/)
    for (const words of ['main bar', 'water pipe', '0.02']) expect(record, words).toContain(words)
    expect(record).toMatch(/0\.040+ ± [\d.]+ Ω/)
  })

  it('slope: three readings at 20, 40 and 60 % become a value near what the slope method gives', async () => {
    const { survey, record } = await handIn('slope', {
      electrodeId: 'DEMO-R1',
      measuredAs: 'electrode-alone',
      currentProbeM: '30',
      ...rows([
        ['', '13.9'],
        ['', '14.6'],
        ['', '15'],
      ]),
    })
    expect(survey).toMatch(/1[45]\.\d+ ± [\d.]+ Ω/)
    for (const words of ['Slope method', '6 m (20 %)', '12 m (40 %)', '18 m (60 %)'])
      expect(record, words).toContain(words)
  })

  it('four-point: the site gets its soil, and neither page speaks of a resistance that is missing', async () => {
    const { survey, record } = await handIn('four-point', {
      siteId: 'DEMO-NORTH',
      ...rows([
        ['1', '15.178'],
        ['2', '6.192'],
        ['4', '1.744'],
        ['8', '0.4762'],
      ]),
    })
    for (const page of [survey, record]) {
      expect(page).toContain('Soil resistivity')
      expect(page).toMatch(/Two layers.*over 2\d(\.\d)? ohm-m/)
      expect(page).not.toContain('No value can be given')
      expect(page).not.toContain('Effective resistance')
    }
    expect(record).toContain('0.4762')
  })

  it('a check of the instrument has a record too', async () => {
    const { record } = await handIn('check-resistor', {
      instrumentId: 'DEMO-I1',
      knownOhm: '10',
      ...rows([['', '10.02']]),
    })
    for (const words of ['DEMO-I1', '10.0']) expect(record, words).toContain(words)
  })
})
