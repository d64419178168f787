import { SecretsManagerClient } from '@aws-sdk/client-secrets-manager'
import { afterEach, describe, expect, it } from 'vitest'
import { secretSessionKeys } from '../../../shared-lib/ports/cloud/session-keys.ts'
import { awsDouble } from './aws-double.ts'

let double: Awaited<ReturnType<typeof awsDouble>>
afterEach(() => double.close())

const gone = { status: 400, json: { __type: 'ResourceNotFoundException', message: 'no such version' } }
const words = (keys: readonly Uint8Array[]) => keys.map((key) => new TextDecoder().decode(key))
let atMs = 0
async function keysFrom(secret: Record<string, string | undefined>) {
  double = await awsDouble(({ body }) => {
    const value = secret[JSON.parse(body).VersionStage as string]
    return value === undefined ? gone : { json: { SecretString: value } }
  })
  return secretSessionKeys('secret', () => atMs, new SecretsManagerClient(double.settings))
}

describe('the keys of sessions', () => {
  it('are the secret’s value, which signs, and the one before', async () => {
    expect(words(await (await keysFrom({ AWSCURRENT: 'new', AWSPREVIOUS: 'old' }))())).toEqual(['new', 'old'])
  })

  it('are one before the first rotation', async () => {
    expect(words(await (await keysFrom({ AWSCURRENT: 'first' }))())).toEqual(['first'])
  })

  it('are asked for once in five minutes, so that a rotation is heard of', async () => {
    const secret: Record<string, string> = { AWSCURRENT: 'first' }
    const keys = await keysFrom(secret)
    await Promise.all([keys(), keys()])
    expect(double.asked).toHaveLength(2)
    Object.assign(secret, { AWSCURRENT: 'second', AWSPREVIOUS: 'first' })
    expect(words(await keys())).toEqual(['first'])
    atMs += 5 * 60_000
    expect(words(await keys())).toEqual(['second', 'first'])
  })

  it('are asked for again after a failure, which is told', async () => {
    const secret: Record<string, string> = {}
    const keys = await keysFrom(secret)
    await expect(keys()).rejects.toThrow('no such version')
    secret.AWSCURRENT = 'there'
    expect(words(await keys())).toEqual(['there'])
  })
})
