import { Duration, RemovalPolicy } from 'aws-cdk-lib'
import {
  BlockPublicAccess,
  Bucket,
  BucketEncryption,
  type BucketProps,
  type CfnBucket,
} from 'aws-cdk-lib/aws-s3'
import type { Construct } from 'constructs'
import { EXPORT_KEPT_DAYS } from '../../functions/web/exports/export-rules.ts'
import { EXPORT_FOLDER } from '../../shared-lib/ports/export-files.ts'

const CLOSED = {
  blockPublicAccess: BlockPublicAccess.BLOCK_ALL,
  encryption: BucketEncryption.S3_MANAGED,
  enforceSSL: true,
  minimumTLSVersion: 1.2,
  removalPolicy: RemovalPolicy.RETAIN,
} satisfies BucketProps

/**
 * Uploaded files as they came. A new object is told to EventBridge: switched on at the bucket itself, because the construct's own
 * switch brings a function of its own with wide rights. Access to it is written to a second bucket.
 */
export function createArchive(scope: Construct, uploadRetentionDays: number): Bucket {
  const accessLogs = new Bucket(scope, 'ArchiveAccessLogs', {
    ...CLOSED,
    lifecycleRules: [{ expiration: Duration.days(uploadRetentionDays) }],
  })
  const archive = new Bucket(scope, 'Archive', {
    ...CLOSED,
    versioned: true,
    serverAccessLogsBucket: accessLogs,
    serverAccessLogsPrefix: 'archive/',
    lifecycleRules: [
      {
        id: 'uploads-kept-for-a-time',
        expiration: Duration.days(uploadRetentionDays),
        noncurrentVersionExpiration: Duration.days(30),
        abortIncompleteMultipartUploadAfter: Duration.days(2),
      },
      // A ticket nobody used is no record of anything.
      { id: 'tickets-run-out', prefix: 'tickets/', expiration: Duration.days(2) },
      // A copy of what is in the table, for who asked: nobody is led to it after that.
      {
        id: 'exports-run-out',
        prefix: EXPORT_FOLDER,
        expiration: Duration.days(EXPORT_KEPT_DAYS),
        noncurrentVersionExpiration: Duration.days(1),
      },
    ],
  })
  const raw = archive.node.defaultChild as CfnBucket
  raw.addPropertyOverride('NotificationConfiguration.EventBridgeConfiguration.EventBridgeEnabled', true)
  return archive
}
