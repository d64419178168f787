/** The mail port. The same `messageId` sent twice is the same message. */
export interface OutgoingMail {
  messageId: string
  to: string
  subject: string
  text: string
  html: string
  /** Message id of the first mail of the thread. */
  inReplyTo?: string
  atMs: number
}
export interface Mail {
  send(mail: OutgoingMail): Promise<void>
}
