import { describe, expect, it } from 'vitest'
import { parseColumnMap } from '../../shared-lib/survey/column-map.ts'
import { scanSurveyFile } from '../../shared-lib/survey/scan.ts'
import { sourceOf } from '../../shared-lib/survey/source.ts'
import { codes, HEADER, longFile, read, threeRows } from './surveys.ts'

describe('headings', () => {
  it('are matched without regard to case, spaces, - or _', () => {
    const text = 'Survey Ref,ELECTRODE-ID,TestedAt,current probe m,Potential_Probe_M,ResistanceOhm\n'
    expect(read(text + threeRows('S-1').join('\n')).surveys).toHaveLength(1)
  })

  it('may give feet, milliohm, kilohm and degrees Fahrenheit', () => {
    const text =
      'survey_ref,electrode_id,tested_at,current_probe_ft,potential_probe_ft,resistance_mohm,soil_temperature_f,probe_h_kohm\nS-1,E-7,2026-05-04,100,62,11200,50,1.5\n'
    expect(read(text).surveys).toMatchObject([
      {
        currentProbeM: 30.48,
        soilTemperatureC: 10,
        probeHOhm: 1500,
        readings: [{ potentialProbeM: 18.8976, resistanceOhm: 11.2 }],
      },
    ])
  })

  it.each(['resistance_megohm', 'Resistance MOhm', 'resistance_Mohm', 'RESISTANCE_MEGAOHM'])(
    '%j refuses the file: megohm is not guessed',
    (heading) => {
      expect(codes(`${HEADER.replace('resistance_ohm', heading)}\n`)).toEqual([[null, heading, 'megohm']])
    },
  )

  it('that are not known are passed over and named once', async () => {
    const text = `${HEADER},Weather station,gps,Weather station,remark_problem,\n${threeRows('S-1')
      .map((row) => `${row},a,b,c,d,`)
      .join('\n')}\n`
    const scanned = await scanSurveyFile(sourceOf(new TextEncoder().encode(text)))
    expect(scanned.ok && scanned.plan.unknownColumns).toEqual(['Weather station', 'gps'])
    expect(read(text).surveys).toHaveLength(1)
  })

  it('given twice refuse the file, also in another unit', () => {
    expect(codes(`${HEADER},Resistance-Ohm\n`)).toEqual([[null, 'Resistance-Ohm', 'column-twice']])
    expect(codes(`${HEADER},current_probe_ft\n`)).toEqual([[null, 'current_probe_ft', 'column-twice']])
  })

  it.each(HEADER.split(','))('that lack %s refuse the file and name it', (column) => {
    const text = `${HEADER.replace(column, 'something')}\n${threeRows('S-1').join('\n')}\n`
    const { refused, surveys } = read(text)
    expect(surveys).toEqual([])
    expect(refused).toMatchObject([{ row: null, code: 'columns-missing' }])
    expect(refused[0]?.problem).toContain(column)
  })

  it('that are no headings of ours, or none at all, refuse the file', () => {
    expect(codes('a,b\n1,2\n')).toMatchObject([[null, expect.any(String), 'columns-missing']])
    expect(codes('')).toEqual([[null, null, 'empty-file']])
    expect(codes('\n\n')).toEqual([[null, null, 'empty-file']])
  })

  it('named like parts of the language do no harm', () => {
    const text = `${HEADER},__proto__,constructor,toString\n${threeRows('__proto__')
      .map((row) => `${row},1,2,3`)
      .join('\n')}\n`
    expect(read(text).surveys).toMatchObject([{ surveyRef: '__proto__' }])
  })
})

describe('a column map', () => {
  const parsed = parseColumnMap({
    decimalSign: ',',
    columns: {
      Protokoll: 'survey_ref',
      Erder: 'electrodeId',
      Datum: { field: 'tested_at', datePattern: 'DD.MM.YYYY' },
      'Sonde H (Fuß)': { field: 'current_probe_m', unit: 'ft' },
      'Sonde S': 'potential_probe_m',
      Wert: { field: 'resistance_ohm', unit: 'mohm', decimalSign: '.' },
    },
  })
  if (!parsed.ok) throw new Error(parsed.reason)
  const columnMap = parsed.map
  const text =
    'Protokoll;Erder;Datum;Sonde H (Fuß);Sonde S;Wert;Ort\nS-1;E-7;04.05.2026;100;18,5;11.200,5;x\n'

  it('lets own headings, units, date patterns and decimal signs be handed in unchanged', () => {
    const one = read(text.replace('11.200,5', '11,200.5'), { columnMap })
    expect(one.surveys).toMatchObject([
      {
        surveyRef: 'S-1',
        testedAt: '2026-05-04T12:00:00Z',
        currentProbeM: 30.48,
        readings: [{ potentialProbeM: 18.5, resistanceOhm: 11.2005 }],
      },
    ])
  })

  it('names the own heading in a refusal', () => {
    expect(codes(text, { columnMap })).toEqual([[2, 'Wert', 'other-decimal-sign']])
  })

  it.each([
    [{ columns: { a: 'no_such_field' } }, 'no_such_field'],
    [{ columns: { a: { field: 'current_probe_m', unit: 'ohm' } } }, 'unit'],
    [{ columns: { a: { field: 'tester', unit: 'm' } } }, 'no unit'],
    [{ columns: { 'a b': 'tester', a_b: 'notes' } }, 'twice'],
  ])('that cannot be used refuses the file and says why', (json, word) => {
    const map = parseColumnMap(json)
    if (!map.ok) throw new Error(map.reason)
    const [refused] = read(longFile(), { columnMap: map.map }).refused
    expect(refused).toMatchObject({ row: null, code: 'bad-column-map' })
    expect(refused?.problem).toContain(word)
  })

  it.each([
    null,
    5,
    {},
    { columns: 3 },
    { columns: { a: 5 } },
    { columns: {}, other: 1 },
    { columns: {}, datePattern: 'x' },
    { columns: {}, decimalSign: '·' },
  ])('%j is not one', (json) => {
    expect(parseColumnMap(json)).toMatchObject({ ok: false, reason: expect.any(String) })
  })

  it('keeps a heading named __proto__ apart from the language', () => {
    const map = parseColumnMap(JSON.parse('{"columns":{"__proto__":"survey_ref"}}'))
    expect(map).toEqual({ ok: true, map: { columns: [{ heading: '__proto__', field: 'survey_ref' }] } })
  })
})
