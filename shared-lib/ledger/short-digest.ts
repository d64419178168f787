import { createHash } from 'node:crypto'

/** Twelve characters that stand for a text: 72 bits, so that two different texts meet by chance once in 10^10 pairs of a million. */
export const shortDigest = (text: string): string =>
  createHash('sha256').update(text).digest('base64url').slice(0, 12)
