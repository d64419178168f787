import fc from 'fast-check'
import { expect, it } from 'vitest'
import { createNotify } from '../../functions/notify/create-notify.ts'
import { mayWrite, withMail } from '../../functions/notify/mail-budget.ts'
import type { OutgoingMail } from '../../shared-lib/ports/mail.ts'
import { finding, untold } from '../ledger/examples.ts'
import { ledgerUnderTest } from '../ledger/ledger-under-test.ts'

const under = ledgerUnderTest()
const HOUR_MS = 3_600_000
const TO = 'engineer@example.org'

it('writes no more ordinary mails a day than was set, whatever comes; the rest goes with the next, urgent news at once', async () => {
  const { ledger } = under
  const sent: OutgoingMail[] = []
  let nowMs = Date.parse('2026-05-04T08:00:00Z')
  const notify = createNotify({
    ledger,
    mail: { send: async (mail) => void sent.push(mail) },
    clock: { nowMs: () => nowMs },
    log: () => {},
    settings: {
      ...{ operatorName: 'Hill operator', baseUrl: 'https://stakes.example.org' },
      ...{ mailDomain: 'stakes.example.org', mailHoldS: 30, longestHoldS: 600, mailsADay: 2 },
    },
  })
  const body = JSON.stringify({ recipient: TO })
  const wake = () =>
    notify({ Records: [{ messageId: 'm', body, attributes: { ApproximateReceiveCount: '1' } }] })
  let n = 0
  /** One more finding, and the message of its hold time. */
  const news = async (urgent = false) => {
    const item = finding('H-1', `S-${n++}`, urgent ? { severity: 'urgent' } : {})
    await ledger.putFindings([item], [])
    await ledger.addUntold([untold(TO, item.id, { urgent, queuedAtMs: nowMs })])
    nowMs += 60_000
    await wake()
    return item.surveyRef
  }
  for (let i = 0; i < 2; i++) await news()
  expect(sent).toHaveLength(2)
  const waiting = [await news(), await news()]
  expect(sent).toHaveLength(2)
  await news(true)
  expect(sent).toHaveLength(3)
  nowMs += 12 * HOUR_MS
  await wake()
  expect(sent).toHaveLength(3)
  nowMs += 12 * HOUR_MS
  await wake()
  expect(sent).toHaveLength(4)
  for (const ref of waiting) expect(sent[3]!.text).toContain(ref)
})

it('never allows more in any 24 hours than the bound, and forgets what no longer counts', () => {
  fc.assert(
    fc.property(
      fc.array(fc.integer({ min: 0, max: 6 * HOUR_MS }), { maxLength: 60 }),
      fc.integer({ min: 1, max: 6 }),
      (waits, aDay) => {
        let nowMs = 0
        let kept: number[] = []
        const went: number[] = []
        for (const wait of waits) {
          nowMs += wait
          if (!mayWrite(kept, nowMs, aDay)) continue
          went.push(nowMs)
          kept = withMail(kept, nowMs)
          expect(kept.length).toBeLessThanOrEqual(aDay)
        }
        for (const at of went)
          expect(went.filter((t) => t > at - 24 * HOUR_MS && t <= at).length).toBeLessThanOrEqual(aDay)
      },
    ),
  )
})
