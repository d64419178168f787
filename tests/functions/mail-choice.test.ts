import { describe, expect, it } from 'vitest'
import { createNotify } from '../../functions/notify/create-notify.ts'
import { mayBeTold } from '../../functions/notify/mail-choice.ts'
import type { MailChoice } from '../../shared-lib/ledger/kept/telling.ts'
import type { OutgoingMail } from '../../shared-lib/ports/mail.ts'
import { FINDING_TITLES } from '../../shared-lib/survey/finding-words.ts'
import { finding, untold } from '../ledger/examples.ts'
import { ledgerUnderTest } from '../ledger/ledger-under-test.ts'

const under = ledgerUnderTest()
const TO = 'engineer@example.org'
const at = (time: string) => Date.parse(`2026-05-${time}Z`)
const daily = (atOnceSites: string[] = []): MailChoice => ({ rest: 'daily', digestHourUtc: 6, atOnceSites })
const waits = (id: string, time: string, over = {}) => untold(TO, id, { queuedAtMs: at(time), ...over })
const told = (waiting: ReturnType<typeof waits>[], choice: MailChoice | null, time: string) =>
  mayBeTold(waiting, choice, at(time)).map((u) => u.findingId)

describe('what may be told now', () => {
  it('is everything for who has chosen nothing, or mail as it comes', () => {
    const waiting = [waits('a', '04T05:00')]
    expect(told(waiting, null, '04T05:01')).toEqual(['a'])
    expect(told(waiting, { ...daily(), rest: 'as-it-comes' }, '04T05:01')).toEqual(['a'])
  })

  it('waits for the hour of the daily mail, and goes after it however late, with what came since', () => {
    const early = waits('a', '04T05:59')
    const later = waits('b', '04T06:00')
    expect(told([early], daily(), '04T05:59')).toEqual([])
    expect(told([later], daily(), '05T05:59')).toEqual([])
    expect(told([early, later], daily(), '04T06:00')).toEqual(['a', 'b'])
    expect(told([early], daily(), '09T03:00')).toEqual(['a'])
  })

  it('does not wait at a site that was picked out, nor where nobody has answered', () => {
    const waiting = [
      waits('a', '04T07:00', { siteId: 'HILL' }),
      waits('b', '04T07:00', { siteId: 'DALE' }),
      waits('c', '04T07:00', { unanswered: { toldTo: 'x@example.org', since: '2026-05-01T00:00:00Z' } }),
      waits('d', '04T07:00'),
    ]
    expect(told(waiting, daily(['HILL']), '04T07:01')).toEqual(['a', 'c'])
  })
})

describe('notify', () => {
  /** Somebody's mail program, from `nowMs` on. */
  function post(recipient: string) {
    const { ledger } = under
    const sent: OutgoingMail[] = []
    const clock = { ms: at('04T08:00') }
    const notify = createNotify({
      ledger,
      mail: { send: async (mail) => void sent.push(mail) },
      clock: { nowMs: () => clock.ms },
      log: () => {},
      settings: {
        ...{ operatorName: 'Hill operator', baseUrl: 'https://stakes.example.org' },
        ...{ mailDomain: 'stakes.example.org', mailHoldS: 30, longestHoldS: 600, mailsADay: null },
      },
    })
    const body = JSON.stringify({ recipient })
    const wake = () =>
      notify({ Records: [{ messageId: 'm', body, attributes: { ApproximateReceiveCount: '1' } }] })
    const news = async (electrodeId: string, ref: string, urgent = false) => {
      const item = finding(electrodeId, ref, urgent ? { severity: 'urgent' } : {})
      await ledger.putFindings([item], [])
      await ledger.addUntold([untold(recipient, item.id, { urgent, queuedAtMs: clock.ms })])
      clock.ms += 60_000
      await wake()
      return item
    }
    return { ledger, sent, clock, wake, news }
  }

  it('sends what is urgent at once and the rest once a day to who has chosen so', async () => {
    const { ledger, sent, clock, wake, news } = post('daily@example.org')
    await ledger.putMailChoice(' Daily@Example.org', daily())
    await news('D-1', 'calm-1')
    await news('D-1', 'calm-2')
    expect(sent).toEqual([])
    await news('D-1', 'grave', true)
    expect(sent.map((m) => m.subject)).toEqual([expect.stringMatching(/^URGENT D-1/)])
    clock.ms = at('05T06:05')
    await wake()
    expect(sent).toHaveLength(2)
    for (const ref of ['calm-1', 'calm-2']) expect(sent[1]!.text).toContain(ref)
    await wake()
    expect(sent).toHaveLength(2)
  })

  it('says once, in the next ordinary mail, how what was told before has ended', async () => {
    const { ledger, sent, news } = post('ends@example.org')
    const [accepted, returned, gone, open] = [
      await news('K-1', 'S-1'),
      await news('K-2', 'S-2'),
      await news('K-3', 'S-3'),
      await news('K-4', 'S-4'),
    ] as const
    const decision = {
      ...{ decisionId: 'd1', findingId: accepted.id, surveyRef: 'S-1', code: accepted.code },
      ...{ action: 'accept' as const, reason: 'wet week', decidedBy: 'Ana', decidedAtMs: at('04T09:00') },
    }
    await ledger.putFindings(
      [
        { ...accepted, state: 'closed', closedBy: { decision } },
        { ...returned, state: 'closed', closedBy: { laterSurveyRef: 'S-9' } },
      ],
      [gone.id],
    )
    await news('K-5', 'grave', true)
    expect(sent.at(-1)!.text).not.toContain('settled')
    await news('K-6', 'S-6')
    const { text, html } = sent.at(-1)!
    const kind = `“${FINDING_TITLES[accepted.code]}”`
    const lines = [
      'What you were told of before and is settled now:',
      `- K-1, ${kind} of ${accepted.testedAt.slice(0, 10)}: the value was accepted (wet week), by Ana on 2026-05-04.`,
      `- K-2, ${kind} of ${returned.testedAt.slice(0, 10)}: settled by survey S-9.`,
      `- K-3, ${kind} of survey S-3: taken back, the surveys as they are now no longer show it.`,
    ]
    expect(text).toContain(lines.join('\n'))
    expect(html).toContain('settled by survey S-9')
    expect(text).not.toContain(open.electrodeId)
    await news('K-7', 'S-7')
    expect(sent.at(-1)!.text).not.toContain('settled')
  })
})
