import { SESv2Client, SendEmailCommand } from '@aws-sdk/client-sesv2'
import type { Mail } from '../mail.ts'

interface SesSettings {
  /** The address mails come from; SES has it or its domain verified. */
  from: string
  configurationSet: string
}

/**
 * Mail through SES. SES gives each mail a Message-ID of its own, so ours goes along as `X-Stakeline-Message`, and a thread is told by
 * `References` only. Throws without naming the recipient: SES's own words would bring the address into the log.
 */
export function sesMail({ from, configurationSet }: SesSettings, client = new SESv2Client()): Mail {
  return {
    async send(mail) {
      const thread = mail.inReplyTo
      const headers = [
        { Name: 'X-Stakeline-Message', Value: mail.messageId },
        ...(thread === undefined ? [] : [{ Name: 'References', Value: `<${thread}>` }]),
      ]
      try {
        await client.send(
          new SendEmailCommand({
            FromEmailAddress: `stakeline <${from}>`,
            Destination: { ToAddresses: [mail.to] },
            ConfigurationSetName: configurationSet,
            Content: {
              Simple: {
                Subject: { Data: mail.subject, Charset: 'UTF-8' },
                Body: {
                  Text: { Data: mail.text, Charset: 'UTF-8' },
                  Html: { Data: mail.html, Charset: 'UTF-8' },
                },
                Headers: headers,
              },
            },
          }),
        )
      } catch (error) {
        throw new Error(`SES did not take mail ${mail.messageId}: ${(error as Error).name}.`)
      }
    },
  }
}
