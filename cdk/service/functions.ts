import type { UserPool, UserPoolClient } from 'aws-cdk-lib/aws-cognito'
import type { TableV2 } from 'aws-cdk-lib/aws-dynamodb'
import type { Code, Function as LambdaFunction } from 'aws-cdk-lib/aws-lambda'
import type { RetentionDays } from 'aws-cdk-lib/aws-logs'
import type { Bucket } from 'aws-cdk-lib/aws-s3'
import type { ISecret } from 'aws-cdk-lib/aws-secretsmanager'
import type { Construct } from 'constructs'
import type { StackConfig } from '../config.ts'
import { createFunction } from './create-function.ts'
import type { MailParts } from './mail.ts'
import { type QueueName, type QueuePair, TIMEOUT_S } from './queues.ts'

export const FUNCTION_NAMES = ['web', 'intake', 'compare', 'notify', 'upkeep', 'export'] as const
export type FunctionName = (typeof FUNCTION_NAMES)[number]
export type Functions = Record<FunctionName, LambdaFunction>

export interface FunctionParts {
  config: StackConfig
  codeOf(name: FunctionName): Code
  logRetention: RetentionDays
  baseUrl: string
  table: TableV2
  archive: Bucket
  archiveArn: string
  people: UserPool
  /** The pool's clients whose tokens are taken: pages, and programs. */
  pagesClient: UserPoolClient
  programsClient: UserPoolClient
  sessionKey: ISecret
  queues: Record<QueueName, QueuePair>
  mail: MailParts
}

/** API Gateway gives up after 30 s. */
const WEB_TIMEOUT_S = 29
/** Lambda's longest: nightly work goes through every site. */
const UPKEEP_TIMEOUT_S = 900
/** From here on a function has one processor to itself. */
const ONE_PROCESSOR_MB = 1769

/** The functions with their settings; what each may do is in grants.ts. */
export function createFunctions(scope: Construct, parts: FunctionParts): Functions {
  const { config, queues } = parts
  const phone = config.controlRoomPhone
  const common = { OPERATOR_NAME: config.operatorName, TABLE_NAME: parts.table.tableName }
  const url = (name: QueueName) => queues[name].queue.queueUrl
  const make = (
    name: FunctionName,
    shape: {
      description: string
      memoryMb: number
      timeoutS: number
      environment: Record<string, string>
      atOnce?: number
    },
  ) =>
    createFunction(scope, {
      name,
      description: shape.description,
      code: parts.codeOf(name),
      memoryMb: shape.memoryMb,
      timeoutS: shape.timeoutS,
      environment: { ...common, ...shape.environment },
      logRetention: parts.logRetention,
      ...(shape.atOnce !== undefined && config.reserveConcurrency
        ? { reservedConcurrency: shape.atOnce }
        : {}),
    })

  return {
    web: make('web', {
      description: 'Pages and API of stakeline',
      memoryMb: ONE_PROCESSOR_MB,
      timeoutS: WEB_TIMEOUT_S,
      environment: {
        BASE_URL: parts.baseUrl,
        ARCHIVE_BUCKET: parts.archive.bucketName,
        INTAKE_QUEUE_URL: url('intake'),
        COMPARE_QUEUE_URL: url('compare'),
        EXPORT_QUEUE_URL: url('export'),
        USER_POOL_ID: parts.people.userPoolId,
        PAGES_CLIENT_ID: parts.pagesClient.userPoolClientId,
        PROGRAMS_CLIENT_ID: parts.programsClient.userPoolClientId,
        SESSION_KEY_SECRET: parts.sessionKey.secretArn,
        ...(phone === undefined ? {} : { CONTROL_ROOM_PHONE: phone }),
      },
    }),
    intake: make('intake', {
      description: 'An uploaded file becomes stored surveys and reported problems',
      memoryMb: ONE_PROCESSOR_MB,
      timeoutS: TIMEOUT_S.intake,
      environment: {
        ARCHIVE_BUCKET: parts.archive.bucketName,
        INTAKE_QUEUE_URL: url('intake'),
        COMPARE_QUEUE_URL: url('compare'),
      },
    }),
    compare: make('compare', {
      description: 'A site with news is judged anew: assessments and findings',
      memoryMb: ONE_PROCESSOR_MB,
      timeoutS: TIMEOUT_S.compare,
      environment: {
        NOTIFY_QUEUE_URL: url('notify'),
        FALLBACK_EMAIL: config.fallbackEmail,
        MAIL_HOLD_S: String(config.mailHoldS),
      },
    }),
    notify: make('notify', {
      description: 'Findings nobody was told yet become one mail an engineer',
      memoryMb: 512,
      timeoutS: TIMEOUT_S.notify,
      // A flood of findings must not use up the account's mail rate, nor keep pages from being served.
      atOnce: 5,
      environment: {
        BASE_URL: parts.baseUrl,
        NOTIFY_QUEUE_URL: url('notify'),
        MAIL_FROM: config.mailFrom,
        MAIL_CONFIGURATION_SET: parts.mail.configurationSet.configurationSetName,
        MAIL_HOLD_S: String(config.mailHoldS),
        MAILS_A_DAY: String(config.mailsADay),
      },
    }),
    upkeep: make('upkeep', {
      description:
        'On schedules: what lost its message is sent again; by night, instruments, counts, learning and drafts',
      memoryMb: ONE_PROCESSOR_MB,
      timeoutS: UPKEEP_TIMEOUT_S,
      // A sweep beside nightly work; more at once only do the same work twice.
      atOnce: 2,
      environment: {
        INTAKE_QUEUE_URL: url('intake'),
        COMPARE_QUEUE_URL: url('compare'),
        NOTIFY_QUEUE_URL: url('notify'),
        FALLBACK_EMAIL: config.fallbackEmail,
        MAIL_HOLD_S: String(config.mailHoldS),
        ESCALATE_URGENT_H: String(config.escalateUrgentH),
        ESCALATE_WARNING_DAYS: String(config.escalateWarningDays),
        ADOPT_LEARNT: config.adoptLearnt ? 'yes' : 'no',
        ARCHIVE_BUCKET: parts.archive.bucketName,
      },
    }),
    export: make('export', {
      description: 'An export that is longer than one answer becomes a file',
      memoryMb: ONE_PROCESSOR_MB,
      timeoutS: TIMEOUT_S.export,
      environment: { ARCHIVE_BUCKET: parts.archive.bucketName },
    }),
  }
}
