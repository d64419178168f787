import { Duration } from 'aws-cdk-lib'
import { ClientAttributes, type UserPool, UserPoolClient } from 'aws-cdk-lib/aws-cognito'
import type { Construct } from 'constructs'
import { SCOPES } from '../data/people.ts'

/** What may be read of a person; nothing may be written by the person: role and sites are an administrator's. */
const READ = new ClientAttributes()
  .withStandardAttributes({ email: true, emailVerified: true, fullname: true })
  .withCustomAttributes('sites')
const WRITE = new ClientAttributes().withStandardAttributes({ email: true, fullname: true })

/**
 * The pool's two clients. Pages sign in by the code flow with PKCE, so there is no secret to keep. Programs get a token from
 * somebody who may ask for one with rights of the AWS account (`admin-initiate-auth`), never with a password alone over the net.
 */
export function createClients(
  scope: Construct,
  pool: UserPool,
  baseUrl: string,
): { pagesClient: UserPoolClient; programsClient: UserPoolClient } {
  const common = {
    userPool: pool,
    preventUserExistenceErrors: true,
    enableTokenRevocation: true,
    readAttributes: READ,
    writeAttributes: WRITE,
    idTokenValidity: Duration.hours(1),
    accessTokenValidity: Duration.hours(1),
  }
  return {
    pagesClient: new UserPoolClient(scope, 'Pages', {
      ...common,
      generateSecret: false,
      refreshTokenValidity: Duration.hours(12),
      authFlows: {},
      oAuth: {
        flows: { authorizationCodeGrant: true },
        scopes: SCOPES,
        callbackUrls: [`${baseUrl}/sign-in/callback`],
        logoutUrls: [`${baseUrl}/sign-in?out=yes`],
      },
    }),
    programsClient: new UserPoolClient(scope, 'Programs', {
      ...common,
      generateSecret: false,
      refreshTokenValidity: Duration.days(30),
      authFlows: { adminUserPassword: true },
      disableOAuth: true,
    }),
  }
}
