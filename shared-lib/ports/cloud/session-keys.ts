import {
  GetSecretValueCommand,
  ResourceNotFoundException,
  SecretsManagerClient,
} from '@aws-sdk/client-secrets-manager'

/** The keys of session cookies: the first signs, any of them verifies. */
export type SessionKeys = () => Promise<readonly Uint8Array[]>

/** A running function hears of a new key this much later at most. */
const KEPT_MS = 5 * 60_000

/**
 * The keys in a secret: its value and the one before, so that a rotation signs nobody out. Asked for on first use, not at start:
 * most calls of a program carry a token of the pool and need no key of ours.
 */
export function secretSessionKeys(
  secretId: string,
  nowMs: () => number,
  client = new SecretsManagerClient(),
): SessionKeys {
  const read = async (VersionStage: string): Promise<Uint8Array[]> => {
    try {
      const { SecretString } = await client.send(
        new GetSecretValueCommand({ SecretId: secretId, VersionStage }),
      )
      return SecretString ? [new TextEncoder().encode(SecretString)] : []
    } catch (error) {
      // Before the first rotation there is no value before.
      if (VersionStage === 'AWSPREVIOUS' && error instanceof ResourceNotFoundException) return []
      throw error
    }
  }
  let kept: { keys: Promise<readonly Uint8Array[]>; untilMs: number } | undefined
  return () => {
    if (kept && nowMs() < kept.untilMs) return kept.keys
    const keys = Promise.all([read('AWSCURRENT'), read('AWSPREVIOUS')]).then((both) => both.flat())
    const asked = { keys, untilMs: nowMs() + KEPT_MS }
    kept = asked
    // A failure is not kept: the next request asks again.
    keys.catch(() => {
      if (kept === asked) kept = undefined
    })
    return keys
  }
}
