import { Aws, CfnOutput, RemovalPolicy, Stack, type StackProps } from 'aws-cdk-lib'
import type { UserPool } from 'aws-cdk-lib/aws-cognito'
import type { TableV2 } from 'aws-cdk-lib/aws-dynamodb'
import type { Bucket } from 'aws-cdk-lib/aws-s3'
import { Secret } from 'aws-cdk-lib/aws-secretsmanager'
import type { Construct } from 'constructs'
import type { StackConfig } from './config.ts'
import { createArchive } from './data/buckets.ts'
import { createPeople } from './data/people.ts'
import { createTable } from './data/table.ts'

export interface DataStackProps extends StackProps {
  config: StackConfig
}

/** What is kept when everything else goes: the table, the uploaded files, the people, and the key that signs sessions. */
export class DataStack extends Stack {
  readonly table: TableV2
  readonly archive: Bucket
  /** The archive's ARN as the service stack sees it, under a name that does not change with this code. */
  readonly archiveArn: string
  readonly people: UserPool
  readonly sessionKey: Secret

  constructor(scope: Construct, id: string, { config, ...props }: DataStackProps) {
    super(scope, id, { ...props, terminationProtection: true })
    this.table = createTable(this)
    this.archive = createArchive(this, config.uploadRetentionDays)
    this.archiveArn = this.exportValue(this.archive.bucketArn, { name: `${config.name}-archive-arn` })
    this.people = createPeople(this, `${config.name}-${Aws.ACCOUNT_ID}`)
    this.sessionKey = new Secret(this, 'SessionKey', {
      description:
        'Signs the session cookies of the web pages. The value before the newest still verifies them.',
      generateSecretString: { passwordLength: 64, excludePunctuation: true },
      removalPolicy: RemovalPolicy.RETAIN,
    })
    new CfnOutput(this, 'TableName', { value: this.table.tableName })
    new CfnOutput(this, 'ArchiveBucket', { value: this.archive.bucketName })
    new CfnOutput(this, 'UserPoolId', { value: this.people.userPoolId })
  }
}
