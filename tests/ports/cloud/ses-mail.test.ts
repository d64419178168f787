import { SESv2Client } from '@aws-sdk/client-sesv2'
import { afterEach, describe, expect, it } from 'vitest'
import { sesMail } from '../../../shared-lib/ports/cloud/ses-mail.ts'
import type { OutgoingMail } from '../../../shared-lib/ports/mail.ts'
import { awsDouble } from './aws-double.ts'

let double: Awaited<ReturnType<typeof awsDouble>>
afterEach(() => double.close())

type Answers = Parameters<typeof awsDouble>[0]
async function mailTo(answer: Answers = () => ({ json: { MessageId: 'ses-1' } })) {
  double = await awsDouble(answer)
  const settings = { from: 'stakeline@example.org', configurationSet: 'set-1' }
  return sesMail(settings, new SESv2Client(double.settings))
}
const mail = (over: Partial<OutgoingMail> = {}): OutgoingMail => ({
  messageId: 'one@example.org',
  to: 'engineer@example.org',
  subject: 'E-7 at Hügel 3: 31.4 Ω is over its limit',
  text: 'Résistance 31.4 Ω.\nTest again.',
  html: '<p>Résistance 31.4 Ω.</p>',
  atMs: Date.UTC(2026, 4, 4, 10, 20),
  ...over,
})
const sent = () => JSON.parse(double.asked.at(-1)!.body) as Record<string, unknown>

describe('mail through SES', () => {
  it('is one message to one person, both parts in UTF-8, under the configuration set that counts bounces', async () => {
    await (await mailTo()).send(mail())
    expect(double.asked).toMatchObject([{ method: 'POST', path: '/v2/email/outbound-emails' }])
    const part = (Data: string) => ({ Data, Charset: 'UTF-8' })
    expect(sent()).toEqual({
      FromEmailAddress: 'stakeline <stakeline@example.org>',
      Destination: { ToAddresses: ['engineer@example.org'] },
      ConfigurationSetName: 'set-1',
      Content: {
        Simple: {
          Subject: part(mail().subject),
          Body: { Text: part(mail().text), Html: part(mail().html) },
          Headers: [{ Name: 'X-Stakeline-Message', Value: 'one@example.org' }],
        },
      },
    })
  })

  it('says which thread it belongs to', async () => {
    await (await mailTo()).send(mail({ inReplyTo: 'zero@example.org' }))
    expect(sent()).toMatchObject({
      Content: {
        Simple: {
          Headers: [
            { Name: 'X-Stakeline-Message', Value: 'one@example.org' },
            { Name: 'References', Value: '<zero@example.org>' },
          ],
        },
      },
    })
  })

  it.each([
    ['MessageRejected', 400],
    ['TooManyRequestsException', 429],
    ['SendingPausedException', 400],
  ])('throws when SES answers %s, with the kind of error and without the address', async (kind, status) => {
    const service = await mailTo(() => ({
      status,
      json: { __type: kind, message: 'Address is not verified: engineer@example.org' },
    }))
    const failed = await service.send(mail()).catch((error: Error) => error)
    expect(failed).toBeInstanceOf(Error)
    expect((failed as Error).message).toBe(`SES did not take mail one@example.org: ${kind}.`)
    expect(String((failed as Error).stack)).not.toContain('engineer@example.org')
  })

  it('throws when SES cannot be reached', async () => {
    const service = await mailTo()
    await double.close()
    await expect(service.send(mail())).rejects.toThrow('SES did not take mail one@example.org')
    double = await awsDouble(() => ({}))
  })
})
