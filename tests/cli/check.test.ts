import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { FINDING_CODES, SEVERITIES } from '../../shared-lib/survey/finding.ts'
import { type Folder, folder, records, stakeline } from './command.ts'
import { BROKEN, ELECTRODES, row, SURVEY_HEADING, surveys } from './tables.ts'

let here: Folder
let register: string
beforeAll(async () => {
  here = await folder()
  register = await here.file('electrodes.csv', ELECTRODES)
  await here.file('x.csv', surveys(row('X-1', 'E-1', '2024-05-04', 11)))
})
afterAll(() => here.remove())

let nth = 0
/** `check --json` over one survey file with this content. */
async function check(content: string | Uint8Array, ...more: string[]) {
  const file = await here.file(`surveys-${nth++}.csv`, content)
  const ended = await stakeline(['check', '--register', register, '--surveys', file, '--json', ...more])
  return { ...ended, records: records(ended.stdout) }
}

const sound = row('S-1', 'E-1', '2024-05-04T10:00:00Z', 11)
const codesOf = (record: Record<string, unknown>) =>
  (record.findings as { code: string }[]).map((f) => f.code)

describe('check --json', () => {
  it('prints one record a survey with the names of the contract, and nothing else anywhere', async () => {
    const { status, stderr, records: found } = await check(surveys(sound))
    expect(status).toBe(0)
    expect(stderr).toBe('')
    expect(found).toHaveLength(1)
    const [record] = found
    expect(record).toMatchObject({
      kind: 'survey',
      surveyRef: 'S-1',
      electrodeId: 'E-1',
      testedAt: '2024-05-04T10:00:00Z',
      method: 'fall-of-potential',
      measuredAs: 'electrode-alone',
      validity: 'valid',
      usableFor: ['acceptance', 'trend'],
      conformity: 'conforming',
      conformityRule: 'simple',
      limitOhm: 25,
    })
    // The three readings' mean is 11.00 ohm; the fitted value lies within the spread of the readings.
    expect(record!.resistanceOhm).toBeGreaterThan(10.8)
    expect(record!.resistanceOhm).toBeLessThan(11.2)
    for (const name of [
      'expandedUncertaintyOhm',
      'spreadPercent',
      'conformityProbability',
      'impliedSoilResistivityOhmM',
    ])
      expect(record![name], name).toBeTypeOf('number')
  })

  it('tells a held survey and a refused row in the places where they stand in the file, and ends with 1', async () => {
    const { status, records: found } = await check(
      surveys(
        sound,
        row('S-2', 'E-99', '2024-05-04T11:00:00Z', 12),
        'S-3,E-1,2024-05-04T12:00:00Z,30,electrode-alone,abc,11,11.1',
        row('S-4', 'E-2', '2024-05-04T13:00:00Z', 12),
      ),
    )
    expect(status).toBe(1)
    expect(found.map((r) => `${r.kind} ${r.surveyRef}`)).toEqual([
      'survey S-1',
      'held S-2',
      'refused S-3',
      'survey S-4',
    ])
    expect(found[1]).toMatchObject({ kind: 'held', row: 3, column: 'electrode_id', surveyRef: 'S-2' })
    expect(found[2]).toMatchObject({ row: 4, column: 'r52_ohm', value: 'abc', code: 'not-a-number' })
    expect(found[2]!.problem).toMatch(/number/)
  })

  it('ends with 0 when surveys are held and nothing was refused: a held survey waits, it is not lost', async () => {
    const { status } = await check(surveys(row('S-2', 'E-99', '2024-05-04T11:00:00Z', 12)))
    expect(status).toBe(0)
  })

  it('ends with 0 whatever the findings are', async () => {
    const { status, records: found } = await check(surveys(row('S-1', 'E-1', '2024-05-04T10:00:00Z', 80)))
    expect(status).toBe(0)
    expect(codesOf(found[0]!)).toContain('limit-exceeded')
  })

  it('puts findings against earlier tests into the record of the survey they are about', async () => {
    const { records: found } = await check(surveys(...BROKEN))
    const last = found.at(-1)!
    expect(last.surveyRef).toBe('S-9')
    expect(codesOf(last)).toContain('step-rise')
    expect(codesOf(last)).toContain('limit-exceeded')
    for (const record of found.slice(0, -1)) expect(codesOf(record)).not.toContain('step-rise')
    for (const record of found) {
      const codes = codesOf(record)
      const ranks = (record.findings as { code: never; severity: never }[]).map(
        (f) => (2 - SEVERITIES.indexOf(f.severity)) * 100 + FINDING_CODES.indexOf(f.code),
      )
      expect(ranks).toEqual([...ranks].sort((a, b) => a - b))
      expect(new Set(codes).size).toBe(codes.length)
    }
  })

  it('judges by test date: the same rows in another order give the same records', async () => {
    const rows = [...BROKEN, row('S-20', 'E-2', '2023-05-04T11:00:00Z', 14)]
    const straight = (await check(surveys(...rows))).stdout.split('\n')
    const backwards = (await check(surveys(...[...rows].reverse()))).stdout.split('\n')
    expect([...backwards].sort()).toEqual([...straight].sort())
    expect(backwards).not.toEqual(straight)
  })

  it('takes each file from standard input as from disk', async () => {
    const csv = surveys(...BROKEN)
    const onDisk = await check(csv)
    const file = await here.file('piped.csv', csv)
    const piped = await stakeline(['check', '--register', register, '--surveys', '-', '--json'], {
      input: csv,
    })
    expect(piped).toMatchObject({ status: 0, stderr: '', stdout: onDisk.stdout })
    const registerPiped = await stakeline(['check', '--register', '-', '--surveys', file, '--json'], {
      input: ELECTRODES,
    })
    expect(registerPiped).toMatchObject({ status: 0, stderr: '', stdout: onDisk.stdout })
  })

  it('prints nothing and ends with 0 when the file has a heading and no row', async () => {
    expect(await check(`${SURVEY_HEADING}\n`)).toMatchObject({ status: 0, stdout: '', stderr: '' })
  })

  it('judges a soil survey of a site and a check of an instrument, which have no electrode', async () => {
    const { status, records: found } = await check(
      [
        'survey_ref,site_id,instrument_id,tested_at,method,known_ohm,probe_spacing_m,probe_depth_m,resistance_ohm',
        'W-1,HILL,,2024-05-04T10:00:00Z,four-point,,1,0.1,15.9',
        'W-1,HILL,,2024-05-04T10:00:00Z,four-point,,2,0.1,8.0',
        'C-1,,I-1,2024-05-04T10:00:00Z,check-resistor,10,,,10.02',
        '',
      ].join('\n'),
    )
    expect(status).toBe(0)
    expect(found.map((r) => [r.surveyRef, r.electrodeId, r.method])).toEqual([
      ['W-1', null, 'four-point'],
      ['C-1', null, 'check-resistor'],
    ])
  })
})

describe('the same survey more than once', () => {
  const again = row('S-1', 'E-1', '2024-05-04T10:00:00Z', 11)
  const other = row('S-1', 'E-1', '2024-05-04T10:00:00Z', 12)

  it('is reported once when it says the same, in one file or in two', async () => {
    const first = await here.file('first.csv', surveys(sound))
    const second = await here.file('second.csv', surveys(again, row('S-2', 'E-2', '2024-05-04T11:00:00Z', 9)))
    const ended = await stakeline([
      'check',
      ...['--register', register, '--surveys', first, '--surveys', second, '--json'],
    ])
    expect(ended.status).toBe(0)
    expect(records(ended.stdout).map((r) => r.surveyRef)).toEqual(['S-1', 'S-2'])
    expect((await check(surveys(sound, again))).records).toHaveLength(1)
  })

  it('is a refused row when it says something else; the first stands and is named by row and file', async () => {
    const first = await here.file('a.csv', surveys(row('S-0', 'E-1', '2023-05-04T10:00:00Z', 11), sound))
    const second = await here.file('b.csv', surveys(other))
    const ended = await stakeline([
      'check',
      ...['--register', register, '--surveys', first, '--surveys', second, '--json'],
    ])
    expect(ended.status).toBe(1)
    const found = records(ended.stdout)
    expect(found.map((r) => r.kind)).toEqual(['survey', 'survey', 'refused'])
    expect(found[2]).toMatchObject({ row: 2, file: second, code: 'survey-conflict', surveyRef: 'S-1' })
    expect(found[2]!.problem).toContain(`row 3 of ${first}`)
  })

  it('may share its reference with a survey of another electrode', async () => {
    const { status, records: found } = await check(
      surveys(sound, row('S-1', 'E-2', '2024-05-04T10:00:00Z', 12)),
    )
    expect(status).toBe(0)
    expect(found.map((r) => r.electrodeId)).toEqual(['E-1', 'E-2'])
  })
})

describe('files as found in the wild', () => {
  const semicolons = surveys(sound).replaceAll('.', '·').replaceAll(',', ';').replaceAll('·', ',')

  it('gives the same record for commas and points, semicolons and decimal commas, UTF-16, and CRLF with blank lines', async () => {
    const wanted = (await check(surveys(sound))).stdout
    const utf16 = Buffer.from(`\ufeff${surveys(sound)}`, 'utf16le')
    const crlf = `\ufeff${surveys(sound).replaceAll('\n', '\r\n\r\n')}`
    for (const written of [semicolons, utf16, crlf]) expect((await check(written)).stdout).toBe(wanted)
  })

  it('reads dates and decimals as declared, and refuses them when they would be a guess', async () => {
    const own = surveys(sound).replace('2024-05-04T10:00:00Z', '04.05.2024 10:00')
    expect((await check(own)).records[0]).toMatchObject({ kind: 'refused', code: 'bad-date' })
    const declared = await check(own, '--date-pattern', 'DD.MM.YYYY HH:mm')
    expect(declared.status).toBe(0)
    expect(Date.parse(declared.records[0]!.testedAt as string)).toBe(Date.parse('2024-05-04T10:00:00Z'))
    const thousand = `${SURVEY_HEADING}\nS-1,E-1,2024-05-04,30,electrode-alone,"1,185","1,200","1,215"\n`
    expect((await check(thousand)).records[0]).toMatchObject({ kind: 'refused', code: 'ambiguous-number' })
    const fraction = await check(thousand, '--decimal-sign', ',')
    expect(fraction.records[0]).toMatchObject({ kind: 'survey' })
    expect(fraction.records[0]!.resistanceOhm).toBeCloseTo(1.2, 1)
  })

  it("takes an operator's own headings by its column map", async () => {
    const map = await here.file(
      'map.json',
      JSON.stringify({
        columns: {
          Nummer: 'survey_ref',
          Erder: 'electrode_id',
          Datum: { field: 'tested_at', datePattern: 'DD.MM.YYYY' },
          Hilfserder: 'current_probe_m',
          'R 62': 'r62_ohm',
          'R 52': 'r52_ohm',
          'R 72': 'r72_ohm',
        },
      }),
    )
    const own =
      'Nummer;Erder;Datum;Hilfserder;R 52;R 62;R 72;Wetter\nS-1;E-1;04.05.2024;30;10,84;11,00;11,17;Regen\n'
    const ended = await check(own, '--column-map', map)
    expect(ended.status).toBe(0)
    expect(ended.records[0]).toMatchObject({ surveyRef: 'S-1', electrodeId: 'E-1' })
    expect(ended.stderr).toMatch(/Wetter/)
    expect(ended.stderr.trim().split('\n')).toHaveLength(1)
  })

  it('refuses a file as a whole with row null when its needed columns are absent, and still judges the other file', async () => {
    const broken = await here.file('broken.csv', 'a,b\n1,2\n')
    const good = await here.file('good.csv', surveys(sound))
    const ended = await stakeline([
      'check',
      ...['--register', register, '--surveys', broken, '--surveys', good, '--json'],
    ])
    expect(ended.status).toBe(1)
    expect(records(ended.stdout)).toMatchObject([
      { kind: 'refused', file: broken, row: null, code: 'columns-missing' },
      { kind: 'survey', surveyRef: 'S-1' },
    ])
  })

  it('survives bytes that are no table at all', async () => {
    const zip = Buffer.from('504b0304140000000800', 'hex')
    const ended = await check(zip)
    expect(ended.status).toBe(1)
    expect(ended.records).toMatchObject([{ kind: 'refused', row: null, code: 'not-a-csv' }])
  })
})

describe('the register and its tables', () => {
  it('leave out a refused row, tell it with its file, and judge the rest', async () => {
    const odd = await here.file('odd.csv', `${ELECTRODES}E-4,VALE,rodd,3,16,25\n`)
    const file = await here.file('for-odd.csv', surveys(sound, row('S-4', 'E-4', '2024-05-04T11:00:00Z', 9)))
    const ended = await stakeline(['check', '--register', odd, '--surveys', file, '--json'])
    expect(ended.status).toBe(1)
    expect(records(ended.stdout)).toMatchObject([
      { kind: 'refused', file: odd, row: 5, column: 'kind', value: 'rodd' },
      { kind: 'survey', surveyRef: 'S-1' },
      { kind: 'held', surveyRef: 'S-4' },
    ])
  })

  it('end the run with 2 when a table cannot be used at all, and say what it lacks', async () => {
    const useless = await here.file('useless.csv', 'electrode_id\nE-1\n')
    const file = await here.file('any.csv', surveys(sound))
    const ended = await stakeline(['check', '--register', useless, '--surveys', file, '--json'])
    expect(ended).toMatchObject({ status: 2, stdout: '' })
    expect(ended.stderr).toMatch(/site_id/)
  })

  it('bring limits, calibrations and works to bear', async () => {
    const limits = await here.file('limits.csv', 'electrode_id,purpose,limit_ohm\nE-1,lightning,10\n')
    const instruments = await here.file(
      'instruments.csv',
      'instrument_id,calibrated_on,calibration_due_on,accuracy_percent\nI-1,2020-01-01,2021-01-01,2\n',
    )
    const file = await here.file(
      'with-instrument.csv',
      surveys(sound).replace('survey_ref,', 'instrument_id,survey_ref,').replace('S-1,', 'I-1,S-1,'),
    )
    const ended = await stakeline([
      ...['check', '--register', register, '--surveys', file, '--json'],
      ...['--limits', limits, '--instruments', instruments],
    ])
    const [record] = records(ended.stdout)
    expect(record).toMatchObject({ conformity: 'nonconforming', limitOhm: 10 })
    expect(codesOf(record!)).toEqual(expect.arrayContaining(['limit-exceeded', 'out-of-calibration']))

    const works = await here.file('works.csv', 'electrode_id,done_on,what\nE-1,2023-09-01,repaired\n')
    const broken = await here.file('broken-earth.csv', surveys(...BROKEN))
    const after = await stakeline([
      ...['check', '--register', register, '--surveys', broken, '--works', works, '--json'],
    ])
    const last = codesOf(records(after.stdout).at(-1)!)
    expect(last).toContain('after-recorded-work')
    expect(last).not.toContain('step-rise')
  })
})

describe('check for people', () => {
  it('shows what needs somebody, then what was held and refused, and the totals last', async () => {
    const file = await here.file(
      'people.csv',
      surveys(
        ...BROKEN,
        row('S-7', 'E-99', '2024-05-04T11:00:00Z', 12),
        'S-8,E-1,2024-05-05T12:00:00Z,30,electrode-alone,abc,11,11.1',
      ),
    )
    const { status, stdout, stderr } = await stakeline(['check', '--register', register, '--surveys', file])
    expect(status).toBe(1)
    expect(stderr).toBe('')
    expect(stdout).toMatch(/^S-9 {2}E-1 {2}2024-05-04 {2}2[78]\.\d* ohm ± .*\(limit 25 ohm\)$/m)
    expect(stdout).toMatch(/^ {2}Warning: Over the limit \(limit-exceeded\)\. /m)
    expect(stdout).toMatch(/^ {2}\w+: A step up \(step-rise\)\. /m)
    expect(stdout).not.toMatch(/^S-0 /m)
    expect(stdout).toMatch(/row 8, S-7: The electrode E-99 is not in the register/)
    expect(stdout).toMatch(/row 9, r52_ohm "abc": /)
    const last = stdout.trimEnd().split('\n').slice(-3)
    expect(last[0]).toMatch(/^6 surveys judged: \d valid, \d doubtful and \d not valid\.$/)
    expect(last[2]).toBe('1 survey held and 1 row refused.')
    // No colour, no cursor movement: this is no terminal.
    expect(stdout).not.toContain('\u001b')
  })

  it('says why a survey has no value where no finding does', async () => {
    const file = await here.file('one-reading.csv', surveys('S-1,E-1,2024-05-04,30,electrode-alone,,11,'))
    const { stdout } = await stakeline(['check', '--register', register, '--surveys', file])
    expect(stdout).toMatch(/^S-1 {2}E-1 {2}2024-05-04 {2}no value, not valid$/m)
    expect(stdout).toMatch(/^ {2}Fewer than two usable positions/m)
  })

  it('prints no control characters out of a file: a terminal would obey them', async () => {
    const file = await here.file(
      'evil.csv',
      surveys(row('S-\u001b[2J', 'E-\u001b]0;x\u0007', '2024-05-04', 12)),
    )
    const { stdout } = await stakeline(['check', '--register', register, '--surveys', file])
    // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what must not be there
    expect(stdout).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f]/)
  })

  it('counts equal refusals instead of listing a thousand of them', async () => {
    const bad = Array.from({ length: 1000 }, (_, n) => `B-${n},E-1,2024-05-04,30,electrode-alone,abc,11,11.1`)
    const one = 'B-x,E-1,04/05/24,30,electrode-alone,10.9,11,11.1'
    const file = await here.file('many.csv', surveys(...bad, one))
    const { stdout } = await stakeline(['check', '--register', register, '--surveys', file])
    expect(stdout.split('\n').length).toBeLessThan(30)
    expect(stdout).toMatch(/and 995 more rows like this \(not-a-number in r52_ohm\)/)
    expect(stdout).toMatch(/row 1002, tested_at "04\/05\/24"/)
    expect(stdout).toMatch(/1001 rows refused\./)
  })
})

describe('check cannot run', () => {
  it.each([
    [
      'a file that is not there',
      ['--register', 'nowhere.csv', '--surveys', 'x.csv'],
      /nowhere\.csv .*no such file/,
    ],
    ['a folder', ['--register', '.', '--surveys', 'x.csv'], /it is a folder/],
    ['no surveys', ['--register', 'r.csv'], /--surveys/],
    ['two standard inputs', ['--register', '-', '--surveys', '-'], /Only one file can be standard input/],
    ['a date that is none', ['--register', 'r', '--surveys', 's', '--as-of', '2024-02-30'], /2026-05-04/],
    ['a pattern that is none', ['--register', 'r', '--surveys', 's', '--date-pattern', 'bad'], /pattern/],
    ['a misspelt option', ['--register', 'r', '--surveys', 's', '--limit', 'l'], /--limit'[\s\S]*--limits/],
  ])('%s: status 2, one clear message, nothing on stdout', async (_, args, message) => {
    const ended = await stakeline(['check', ...args, '--json'], { cwd: here.path })
    expect(ended).toMatchObject({ status: 2, stdout: '' })
    expect(ended.stderr).toMatch(message)
    expect(ended.stderr).not.toMatch(/\n\s+at /)
    expect(ended.stderr.trim().split('\n').length).toBeLessThan(4)
  })

  it('refuses parameters and maps that are not what they should be, by name', async () => {
    const file = await here.file('p.csv', surveys(sound))
    const odd = await here.file('odd.json', '{"version":"x"}')
    const noJson = await here.file('no.json', 'noise: 3')
    for (const [option, given, message] of [
      ['--parameters', odd, /noiseLn/],
      ['--parameters', noJson, /not JSON/],
      ['--column-map', odd, /columns/],
    ] as const) {
      const ended = await stakeline(['check', '--register', register, '--surveys', file, option, given])
      expect(ended).toMatchObject({ status: 2, stdout: '' })
      expect(ended.stderr).toMatch(message)
    }
    expect(join(here.path, 'odd.json')).toBe(odd)
  })
})
