import { Stack } from 'aws-cdk-lib'
import { ConfigurationSet, EmailIdentity, Identity, SuppressionReasons } from 'aws-cdk-lib/aws-ses'
import type { Construct } from 'constructs'

export interface MailParts {
  configurationSet: ConfigurationSet
  configurationSetArn: string
  /** What sending as `mailFrom` is allowed by: the domain and the address itself, whichever of them is verified. */
  identityArns: string[]
}

/**
 * Mail through SES: a configuration set that counts bounces and complaints and does not send again to who bounced, and (unless the
 * operator has it verified already) the sender's domain as an identity. Its DNS records are for the operator to set.
 */
export function createMail(scope: Construct, mailFrom: string, createIdentity: boolean): MailParts {
  const domain = mailFrom.slice(mailFrom.indexOf('@') + 1)
  const configurationSet = new ConfigurationSet(scope, 'Mail', {
    reputationMetrics: true,
    suppressionReasons: SuppressionReasons.BOUNCES_AND_COMPLAINTS,
  })
  if (createIdentity) new EmailIdentity(scope, 'MailDomain', { identity: Identity.domain(domain) })
  const arn = (resource: string, resourceName: string) =>
    Stack.of(scope).formatArn({ service: 'ses', resource, resourceName })
  return {
    configurationSet,
    configurationSetArn: arn('configuration-set', configurationSet.configurationSetName),
    identityArns: [arn('identity', domain), arn('identity', mailFrom)],
  }
}
