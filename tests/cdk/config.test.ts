import { Match } from 'aws-cdk-lib/assertions'
import { describe, expect, it } from 'vitest'
import { ConfigError, readConfig } from '../../cdk/config.ts'
import { configWith, templatesOf } from './synthesized.ts'

const failure = (changes: Record<string, unknown>): string => {
  try {
    configWith(changes)
  } catch (error) {
    if (error instanceof ConfigError) return error.message
    throw error
  }
  throw new Error('it was taken')
}

describe('the settings of a deployment', () => {
  it('are complete in cdk.json, so that a synth needs nothing else', () => {
    expect(configWith()).toMatchObject({ name: 'stakeline', mailHoldS: 30, logRetentionDays: 90 })
  })

  it('take numbers and yes or no as the command line gives them', () => {
    const config = configWith({ 'stakeline:mailHoldS': '0', 'stakeline:reserveConcurrency': 'no' })
    expect(config).toMatchObject({ mailHoldS: 0, reserveConcurrency: false })
  })

  it('leave it to a person to adopt what was learnt, unless told otherwise', () => {
    expect(configWith().adoptLearnt).toBe(false)
    expect(configWith({ 'stakeline:adoptLearnt': 'yes' }).adoptLearnt).toBe(true)
    expect(failure({ 'stakeline:adoptLearnt': 'always' })).toContain(
      'stakeline:adoptLearnt is "always"; it takes yes or no',
    )
    const told = (adoptLearnt: string) =>
      templatesOf({ 'stakeline:adoptLearnt': adoptLearnt }).service.hasResourceProperties(
        'AWS::Lambda::Function',
        { Environment: { Variables: Match.objectLike({ ADOPT_LEARNT: adoptLearnt }) } },
      )
    told('yes')
    told('no')
  })

  it('name every setting that cannot be used, what it is and what it takes', () => {
    const message = failure({ 'stakeline:mailFrom': 'nobody', 'stakeline:logRetentionDays': '12' })
    expect(message).toContain('stakeline:mailFrom is "nobody"; it takes the address mails come from')
    expect(message).toContain('stakeline:logRetentionDays is "12"; it takes one of 7, 14')
  })

  it('name an unknown setting and those there are', () => {
    expect(failure({ 'stakeline:mialFrom': 'x@example.org' })).toMatch(
      /mialFrom is no setting; there are .*mailFrom/,
    )
  })

  it('say what is missing', () => {
    expect(() => readConfig({})).toThrow(/stakeline:mailFrom is missing; it takes the address/)
  })

  it('want a domain together with its certificate', () => {
    expect(failure({ 'stakeline:domainName': 'earth.example.org' })).toContain(
      'stakeline:domainName and certificateArn go together',
    )
  })
})
