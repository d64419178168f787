import { Duration, RemovalPolicy } from 'aws-cdk-lib'
import {
  AccountRecovery,
  Mfa,
  OAuthScope,
  StringAttribute,
  UserPool,
  UserPoolDomain,
  UserPoolGroup,
} from 'aws-cdk-lib/aws-cognito'
import type { Construct } from 'constructs'
import { ROLES } from '../../shared-lib/ports/identity.ts'

export const SCOPES = [OAuthScope.OPENID, OAuthScope.EMAIL, OAuthScope.PROFILE]

const WORDS = {
  field: 'Field crews: hand in, see the electrodes of their own sites.',
  quality: 'The quality team: reads all, decides.',
  engineer: 'Responsible engineers: read and decide for their own electrodes.',
  admin: 'Administrators: the register and the people.',
}

/**
 * Who may come in. Nobody signs up by themselves: an administrator adds a person, one group (its role) and `custom:sites` (site ids
 * with commas between, or `*`). The pool is kept when the stack goes.
 */
export function createPeople(scope: Construct, signInDomain: string): UserPool {
  const pool = new UserPool(scope, 'People', {
    selfSignUpEnabled: false,
    signInAliases: { email: true },
    signInCaseSensitive: false,
    standardAttributes: {
      email: { required: true, mutable: true },
      fullname: { required: true, mutable: true },
    },
    customAttributes: { sites: new StringAttribute({ maxLen: 2048, mutable: true }) },
    passwordPolicy: {
      minLength: 12,
      requireLowercase: true,
      requireUppercase: true,
      requireDigits: true,
      requireSymbols: true,
      tempPasswordValidity: Duration.days(7),
    },
    mfa: Mfa.OPTIONAL,
    mfaSecondFactor: { otp: true, sms: false },
    accountRecovery: AccountRecovery.EMAIL_ONLY,
    deletionProtection: true,
    removalPolicy: RemovalPolicy.RETAIN,
  })
  for (const [precedence, groupName] of [...ROLES].reverse().entries())
    new UserPoolGroup(scope, `Role-${groupName}`, {
      userPool: pool,
      groupName,
      description: WORDS[groupName],
      precedence,
    })
  new UserPoolDomain(scope, 'SignInDomain', {
    userPool: pool,
    cognitoDomain: { domainPrefix: signInDomain },
  })
  return pool
}
