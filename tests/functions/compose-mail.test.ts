import { describe, expect, it } from 'vitest'
import { composeMail } from '../../functions/notify/compose-mail.ts'
import { sparkline, valueRows } from '../../functions/notify/earlier-values.ts'
import type { FindingItem } from '../../shared-lib/ledger/kept/finding.ts'
import { finding, untold } from '../ledger/examples.ts'

const settings = {
  operatorName: 'Hill operator',
  baseUrl: 'https://stakes.example.org',
  mailDomain: 'stakes.example.org',
}
const TO = 'engineer@example.org'

const compared = (surveyRef: string, over: Partial<FindingItem> = {}): FindingItem => ({
  ...finding('H-1', surveyRef, { code: 'step-rise' }),
  probability: 0.71,
  message: 'Read 31.5 Ω where 9 to 12 Ω was expected. Test it again on the same line.',
  evidence: {
    resistanceOhm: 31.5,
    expectedOhm: 10.4,
    expectedRangeOhm: [9, 12],
    alternatives: [
      { explanation: 'a wet season', probability: 0.002 },
      { explanation: 'a slipped decimal', probability: 0.08 },
      { explanation: 'another electrode', probability: 0.19 },
    ],
    points: [
      { surveyRef: 'old', testedAt: '2024-05-02', resistanceOhm: 10.2, used: true },
      {
        surveyRef: 'odd',
        testedAt: '2025-05-02',
        resistanceOhm: 1.04,
        lowOhm: 8.8,
        highOhm: 12.1,
        used: false,
      },
      { surveyRef, testedAt: '2026-05-01', resistanceOhm: 31.5, lowOhm: 9, highOhm: 12, used: true },
    ],
    distancesShort: 2,
  },
  ...over,
})
const mailOf = (findings: FindingItem[], urgent = false) =>
  composeMail(TO, findings, [], { urgent, atMs: 0 }, settings)

describe('the mail of a finding', () => {
  const mail = mailOf([compared('S-1')])

  it('calls a finding and its numbers as the pages do', () => {
    const over = mailOf([
      compared('S-1', {
        code: 'limit-exceeded',
        evidence: { conformityProbability: 0.034, limitOhm: 25, resistanceOhm: 31.5 },
      }),
    ])
    expect(over.subject).toBe('H-1: Over the limit')
    for (const body of [over.text, over.html]) {
      expect(body).toContain('Over the limit')
      expect(body).toContain('Chance that it conforms')
      expect(body).toContain('3 %')
      expect(body).not.toMatch(/limit[- ]exceeded<|conformity probability|0\.034/i)
    }
  })

  it('shows chances as percentages, whatever they are of, and no version of anything', () => {
    const evidence = { chanceOfRepetition: 2.3e-14, parametersVersion: 'default-4' }
    const { text } = mailOf([compared('S-1', { code: 'repeated-readings', evidence })])
    expect(text).toContain('Chance of such a repetition: under 1 %')
    expect(text).not.toContain('default-4')
  })

  it('spells the finding out among the explanations where they add up to certainty', () => {
    const alternatives = [
      { explanation: 'a lost part', probability: 0.7 },
      { explanation: 'another electrode', probability: 0.3 },
    ]
    const { text } = mailOf([compared('S-1', { evidence: { alternatives } })])
    expect(text).toContain('What it could be: a lost part 70 %; another electrode 30 %.')
  })

  it('takes the colours of the program it is read in, and keeps a date on one line', () => {
    expect(mail.html).toContain('<meta name="color-scheme" content="light dark">')
    expect(mail.html).not.toMatch(/[^-]color:|background/)
    expect(mail.html).toMatch(/white-space:nowrap">2025-05-02</)
  })

  it('names the likeliest other explanations with their chances, the likeliest first, and leaves out what is next to impossible', () => {
    const line = 'It could also be: another electrode 19 %; a slipped decimal 8 %.'
    expect(mail.text).toContain(line)
    expect(mail.html).toContain(line)
    expect(mail.text).not.toContain('a wet season')
  })

  it('shows the earlier values as a table with what was expected, and as one line of bars', () => {
    expect(mail.text).toContain(
      [
        '  tested       ohm  expected',
        '  2024-05-02  10.2',
        '  2025-05-02  1.04  8.8 to 12.1  not counted',
        '  2026-05-01  31.5  9 to 12      this test',
        '  oldest to newest: ▆▁█',
      ].join('\n'),
    )
  })

  it('has an HTML table with a caption and header cells', () => {
    expect(mail.html).toMatch(/<caption[^>]*>Values of H-1, oldest first<\/caption>/)
    expect(mail.html.match(/<th scope="col"/g)).toHaveLength(4)
    expect(mail.html).toMatch(/<th scope="row"[^>]*>2025-05-02<\/th>/)
  })

  it('links to the page that says why', () => {
    expect(mail.text).toContain(
      `https://stakes.example.org/findings/${encodeURIComponent(compared('S-1').id)}`,
    )
  })

  it('says to whom else it was told, and when, where nobody has answered', () => {
    const item = compared('S-1')
    const unanswered = { toldTo: 'first@example.org', since: '2026-05-04T12:20:00+02:00' }
    const words =
      'Nobody has answered this. first@example.org was told when it was raised, 2026-05-04 10:20 UTC.'
    const { text, html } = composeMail(
      TO,
      [item],
      [untold(TO, item.id, { unanswered })],
      { urgent: false, atMs: 0 },
      settings,
    )
    expect(text).toContain(words)
    expect(html).toContain(words)
    expect(mail.text).not.toContain('Nobody has answered')
  })

  it('cautions where a hand may come to the conductor, and only there', () => {
    expect(mail.text).toContain('Caution: Before a link is opened:')
    expect(mailOf([compared('S-1', { code: 'decimal-slip' })]).text).not.toContain('Caution:')
  })

  it('is complete where the evidence is that of another version', () => {
    const odd = compared('S-1', { evidence: { points: 'lost', alternatives: [{}], spreadPercent: 12.3456 } })
    const text = mailOf([odd]).text
    expect(text).toContain('Spread, %: 12.35')
    expect(text).not.toContain('oldest to newest')
  })

  it('escapes what crews wrote', () => {
    expect(mailOf([compared('<b>S</b>')]).html).toContain('&lt;b&gt;S&lt;/b&gt;')
  })
})

describe('a mail of many findings', () => {
  it('has the ten worst in full, counts the others and links to the queue narrowed as they are', () => {
    const many = Array.from({ length: 14 }, (_, i) => compared(`S-${i + 10}`))
    const worst = compared('S-99', { severity: 'urgent' })
    const { text } = mailOf([...many, worst])
    expect(text.match(/^Why, with the plot/gm)).toHaveLength(10)
    expect(text.indexOf('survey S-99')).toBeLessThan(text.indexOf('survey S-10'))
    expect(text).toContain('And 5 more: https://stakes.example.org/findings?site=HILL&kind=step-rise')
  })
})

describe('the id of a mail', () => {
  const a = compared('S-1')
  const b = compared('S-2')
  it('is the same when the same news is sent again, in any order', () => {
    expect(mailOf([a, b]).messageId).toBe(mailOf([b, a]).messageId)
  })
  it('is another for another recipient, other findings, or a warning that has become urgent', () => {
    const ids = [
      mailOf([a]),
      mailOf([b]),
      mailOf([{ ...a, severity: 'urgent' }], true),
      composeMail('other@example.org', [a], [], { urgent: false, atMs: 0 }, settings),
    ].map((m) => m.messageId)
    expect(new Set(ids).size).toBe(4)
  })
})

describe('the line of bars', () => {
  it('goes by ratios, and is level where the values are', () => {
    expect(sparkline([1, 10, 100])).toBe('▁▅█')
    expect(sparkline([10, 10.05, 10.1])).toBe('▄▄▄')
  })
  it('has no table for a finding that compares nothing, and at most eight rows for one that compares much', () => {
    expect(valueRows(compared('S-1', { evidence: { resistanceOhm: 3 } }))).toEqual([])
    const points = Array.from({ length: 30 }, (_, i) => ({
      ...{ surveyRef: `P-${i}`, testedAt: '2026-01-01', resistanceOhm: i + 1, used: true },
    }))
    expect(valueRows(compared('P-29', { evidence: { points } })).map((r) => r.resistanceOhm)).toEqual([
      23, 24, 25, 26, 27, 28, 29, 30,
    ])
  })
})
