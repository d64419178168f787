import fc from 'fast-check'
import { createTransport } from 'nodemailer'
import { describe, expect, it } from 'vitest'
import { curvePlot } from '../../functions/web/pages/charts/curve-plot.ts'
import { logTicks } from '../../functions/web/pages/charts/frame.ts'
import { type HistoryPoint, historyPlot } from '../../functions/web/pages/charts/history-plot.ts'
import { monthsFrom } from '../../functions/web/pages/due/due-routes.ts'
import { readMail } from '../../functions/web/pages/outbox/read-mail.ts'
import { totalsInWords } from '../../functions/web/pages/uploads/totals.ts'
import { age, chance, instant, number, ohmWithDoubt } from '../../functions/web/pages/view/format.ts'
import { html } from '../../functions/web/pages/view/html.ts'
import { FINDING_TITLES } from '../../functions/web/pages/view/words.ts'
import { FINDING_CODES } from '../../shared-lib/survey/finding.ts'

describe('numbers for people', () => {
  it.each([
    [11.02, '11.02'],
    [0.000123456, '0.0001235'],
    [12345.6, '12350'],
    [-0.117, '\u22120.117'],
    [0, '0'],
    [1e9, '1000000000'],
  ])('writes %d as %s, without exponent or grouping', (value, words) => {
    expect(number(value)).toBe(words)
  })

  it('rounds a value to the place of its doubt', () => {
    expect(ohmWithDoubt(11.0234, 0.4812)).toBe('11.02 ± 0.48 Ω')
    expect(ohmWithDoubt(0.21345, 0.0123)).toBe('0.213 ± 0.012 Ω')
    expect(ohmWithDoubt(1234.5, 98.7)).toBe('1235 ± 99 Ω')
    expect(ohmWithDoubt(12345, 1234)).toBe('12300 ± 1200 Ω')
    expect(ohmWithDoubt(null, null)).toBe('no value')
  })

  it('claims no certainty', () => {
    expect([chance(1), chance(0.5), chance(0)]).toEqual(['over 99 %', '50 %', 'under 1 %'])
  })

  it('shows a moment as it was written, in its own offset', () => {
    expect(instant('2026-05-04T10:20:00+01:00')).toBe('4 May 2026, 10:20 (UTC+01:00)')
    expect(instant('2026-05-04T10:20:00Z')).toBe('4 May 2026, 10:20 (UTC)')
    expect(instant('2026-05-04')).toBe('4 May 2026')
    expect(instant('soon')).toBe('soon')
  })

  it('tells an age in the unit that says enough', () => {
    const now = Date.parse('2026-05-04T12:00:00Z')
    expect(age('2026-05-04T11:59:40Z', now)).toBe('just now')
    expect(age('2026-05-04T11:00:00Z', now)).toBe('1 hour ago')
    expect(age('2026-04-24T12:00:00Z', now)).toBe('10 days ago')
    expect(age('2020-05-04T12:00:00Z', now)).toBe('6 years ago')
  })

  it('counts months over the turn of a year', () => {
    expect(monthsFrom('2026-11', 4)).toEqual(['2026-11', '2026-12', '2027-01', '2027-02'])
  })
})

describe('words', () => {
  it('has a different title for every finding code', () => {
    expect(Object.keys(FINDING_TITLES).sort()).toEqual([...FINDING_CODES].sort())
    expect(new Set(Object.values(FINDING_TITLES)).size).toBe(FINDING_CODES.length)
  })

  it('leaves out of an upload’s sentence what did not happen', () => {
    const none = { surveysAlreadyThere: 0, surveysHeld: 0, surveysRefused: 0, rowsRefused: 0 }
    const upload = { state: 'done', surveysAccepted: 1, ...none } as Parameters<typeof totalsInWords>[0]
    expect(totalsInWords(upload)).toBe('1 survey read: 1 accepted.')
  })
})

const point = (change: Partial<HistoryPoint>): HistoryPoint => ({
  surveyRef: 'S',
  testedAtMs: Date.parse('2024-05-01'),
  resistanceOhm: 11,
  expandedUncertaintyOhm: 0.5,
  readOhm: 11,
  limitOhm: 25,
  severity: null,
  ...change,
})

describe('the history plot', () => {
  const svg = (points: HistoryPoint[]) =>
    String(historyPlot({ id: 'h', of: 'electrode alone', points, breaks: [] }))

  it('draws what is not valid hollow and off the line, and marks a finding by a shape', () => {
    const drawn = svg([
      point({}),
      point({ surveyRef: 'T', testedAtMs: Date.parse('2025-05-01'), resistanceOhm: null, readOhm: 30 }),
      point({ surveyRef: 'U', testedAtMs: Date.parse('2026-05-01'), resistanceOhm: 30, severity: 'warning' }),
    ])
    expect(drawn.match(/class="dot"/g)).toHaveLength(2)
    expect(drawn.match(/class="hollow"/g)).toHaveLength(1)
    expect(drawn.match(/class="mark warning"/g)).toHaveLength(1)
    const path = /<path class="path" d="([^"]*)"/.exec(drawn)![1]!
    expect(path.split('L')).toHaveLength(2)
    expect(drawn).toContain('2 values')
    expect(drawn).toContain('1 not valid')
  })

  it('puts equal ratios at equal heights', () => {
    const drawn = svg(
      [5, 10, 20].map((ohm, i) =>
        point({
          testedAtMs: Date.UTC(2020 + i, 0),
          resistanceOhm: ohm,
          expandedUncertaintyOhm: 0,
          limitOhm: null,
        }),
      ),
    )
    const heights = [...drawn.matchAll(/class="dot" cx="[^"]*" cy="([^"]*)"/g)].map((m) => Number(m[1]))
    expect(heights[0]! - heights[1]!).toBeCloseTo(heights[1]! - heights[2]!, 0)
    expect(heights[0]).toBeGreaterThan(heights[1]!)
  })

  it('steps the limit where it changed, and is nothing without a number', () => {
    const drawn = svg([
      point({ limitOhm: 10 }),
      point({ testedAtMs: Date.parse('2025-05-01'), limitOhm: 25 }),
    ])
    expect(/<path class="limit"[^>]* d="([^"]*)"/.exec(drawn)![1]!.match(/[ML]/g)!.length).toBeGreaterThan(3)
    expect(
      historyPlot({ id: 'h', of: 'x', points: [point({ resistanceOhm: null, readOhm: null })], breaks: [] }),
    ).toBeNull()
  })

  it('never writes a number that is not one', () => {
    for (const points of [
      [point({})],
      [point({ expandedUncertaintyOhm: 50 })],
      [point({ resistanceOhm: 1e-6, limitOhm: 1e6 })],
    ])
      expect(svg(points)).not.toMatch(/NaN|Infinity|undefined/)
  })
})

describe('the labels of new baselines', () => {
  const years = (from: number, count: number) =>
    Array.from({ length: count }, (_, i) => ({
      ...{ surveyRef: `S-${i}`, testedAtMs: Date.UTC(from + i, 4, 4), resistanceOhm: 10, readOhm: null },
      ...{ expandedUncertaintyOhm: 0.5, limitOhm: null, severity: null },
    }))
  const labels = (breaks: { atMs: number; why: string }[]) => {
    const svg = String(historyPlot({ id: 'h', of: 'x', points: years(2010, 12), breaks }))
    const found = [...svg.matchAll(/class="break"[^>]*\/>\s*<text x="([\d.]+)" y="([\d.]+)">([^<]*)</g)]
    return found.map(([, x, y, why]) => ({ x: Number(x), y: Number(y), why: why! }))
  }

  it('are one where two begin together', () => {
    const atMs = Date.UTC(2015, 5, 1)
    const both = [
      { atMs, why: 'repaired' },
      { atMs: atMs + 5 * 86_400_000, why: 'new baseline' },
    ]
    expect(labels(both).map((l) => l.why)).toEqual(['repaired, new baseline'])
  })

  it('never lie on each other, wherever the breaks are', () => {
    const aBreak = fc.record({
      atMs: fc.integer({ min: Date.UTC(2010, 1, 1), max: Date.UTC(2021, 11, 1) }),
      why: fc.constantFrom('repaired', 'extended', 'new baseline'),
    })
    fc.assert(
      fc.property(fc.array(aBreak, { maxLength: 8 }), (breaks) => {
        const placed = labels(breaks)
        for (const [i, a] of placed.entries())
          for (const b of placed.slice(i + 1)) {
            const apart = Math.abs(a.x - b.x) >= Math.min(a.why.length, b.why.length) * 7
            expect(a.y !== b.y || apart).toBe(true)
          }
      }),
    )
  })
})

describe('the curve along the line', () => {
  const readings = [52, 62, 72].map((p, i) => ({
    potentialProbeM: 0.3 * p,
    resistanceOhm: 10.9 + 0.15 * i,
    condition: 'ok' as const,
  }))
  const plot = (change: object) =>
    curvePlot({
      id: 'c',
      readings,
      currentProbeM: 30,
      resistanceOhm: 11,
      expandedUncertaintyOhm: 0.5,
      ...change,
    })

  it('draws each reading, the fitted line and the result', () => {
    const drawn = String(plot({}))
    expect(drawn.match(/class="dot"/g)).toHaveLength(3)
    expect(drawn).toContain('class="fit"')
    expect(drawn).toContain('result 11.00 ± 0.50 Ω')
    expect(drawn).not.toMatch(/NaN|Infinity/)
  })

  it('fits no line through two readings and draws nothing without any', () => {
    expect(String(plot({ readings: readings.slice(1) }))).not.toContain('class="fit"')
    expect(
      plot({ readings: readings.map((r) => ({ ...r, condition: 'over-range', resistanceOhm: undefined })) }),
    ).toBeNull()
    expect(plot({ currentProbeM: 0 })).toBeNull()
  })
})

describe('ticks of a logarithmic axis', () => {
  it('stand at 1, 2 and 5, or only at powers of ten when there are many', () => {
    expect(logTicks(8, 60)).toEqual([10, 20, 50])
    expect(logTicks(0.5, 2000)).toEqual([1, 10, 100, 1000])
  })
})

describe('reading a mail', () => {
  it('finds headers and text in what the mail library writes', async () => {
    const text = `Electrode R1: 31 Ω against 11 Ω.\n\nhttp://127.0.0.1:4700/electrodes/DEMO-R1?with=a&long=${'x'.repeat(90)}\n= end`
    const { message } = await createTransport({ streamTransport: true, buffer: true }).sendMail({
      from: 'stakeline <stakeline@example.org>',
      to: 'engineer@example.org',
      subject: 'Electrode „R1“: Überschreitung, 31 Ω gegen 11 Ω erwartet, mit einem langen Betreff',
      date: new Date('2026-05-04T11:00:00Z'),
      text,
      html: '<p>Not this</p>',
    })
    const mail = readMail(String(message))
    expect(mail.text.trim()).toBe(text)
    expect(mail.subject).toBe(
      'Electrode „R1“: Überschreitung, 31 Ω gegen 11 Ω erwartet, mit einem langen Betreff',
    )
    expect(mail).toMatchObject({ to: 'engineer@example.org', date: '2026-05-04T11:00:00.000Z' })
  })

  it('answers something for anything', () => {
    for (const source of [
      '',
      'no colon',
      'Content-Type: multipart/mixed; boundary=x\n\n--x\nContent-Type: multipart/mixed; boundary=x\n\n--x',
    ])
      expect(typeof readMail(source).text).toBe('string')
  })
})

describe('templates', () => {
  it('escape what is put into them', () => {
    expect(String(html`<p title="${'" onclick="x'}">${'<b>'}</p>`)).toBe(
      '<p title="&quot; onclick=&quot;x">&lt;b&gt;</p>',
    )
  })
})

describe('a number on a page', () => {
  it('is what the formatter of the platform writes without groups, for any size', () => {
    const intl = new Intl.NumberFormat('en-GB', { maximumFractionDigits: 20, useGrouping: false })
    fc.assert(
      fc.property(
        fc.double({ noNaN: true, noDefaultInfinity: true, min: 1e-12, max: 1e30 }),
        fc.constantFrom(2, 3, 4, 6),
        fc.boolean(),
        (size, digits, negative) => {
          const value = negative ? -size : size
          const expected = intl.format(Number(value.toPrecision(digits))).replace('-', '\u2212')
          expect(number(value, digits)).toBe(expected)
        },
      ),
      { numRuns: 500 },
    )
    expect(number(0)).toBe('0')
  })
})
