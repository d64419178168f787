import { Match, type Template } from 'aws-cdk-lib/assertions'
import { beforeAll, describe, expect, it } from 'vitest'
import { FUNCTION_NAMES } from '../../cdk/service/functions.ts'
import { EXPORT_KEPT_DAYS } from '../../functions/web/exports/export-rules.ts'
import { TABLE_SHAPE } from '../../shared-lib/ledger/table.ts'
import { templatesOf } from './synthesized.ts'

let data: Template
let service: Template
beforeAll(() => {
  ;({ data, service } = templatesOf())
})

interface Statement {
  Effect: string
  Action: string | string[]
  Resource: unknown
}
const listOf = <T>(one: T | T[]): T[] => (Array.isArray(one) ? one : [one])

/** The statements of a function's role, by the function's name. */
function statementsOf(name: string): Statement[] {
  const policies = Object.entries(service.findResources('AWS::IAM::Policy'))
  const mine = policies.filter(([id]) => id.startsWith(`${name}role`))
  expect(mine.length).toBe(1)
  return mine.flatMap(([, p]) => p.Properties.PolicyDocument.Statement as Statement[])
}
const allowed = (name: string): string[] =>
  statementsOf(name)
    .filter((s) => s.Effect === 'Allow')
    .flatMap((s) => listOf(s.Action))

interface Tag {
  Key: string
  Value: string
}
interface Resource {
  Type: string
  Properties: { Tags?: Tag[] | Record<string, string>; Replicas?: { Tags: Tag[] }[] }
}
/** What makes the bill. */
const BILLED =
  /^AWS::(DynamoDB::GlobalTable|S3::Bucket|SQS::Queue|Lambda::Function|Logs::LogGroup|ApiGatewayV2::Api|SecretsManager::Secret|CloudWatch::Alarm|SNS::Topic)$/

describe('what is kept', () => {
  it('is one table as the ledger shapes it, restorable to any second and protected', () => {
    data.hasResource('AWS::DynamoDB::GlobalTable', {
      DeletionPolicy: 'Retain',
      Properties: {
        BillingMode: 'PAY_PER_REQUEST',
        GlobalSecondaryIndexes: TABLE_SHAPE.indexes.map((index) =>
          Match.objectLike({ IndexName: index.name }),
        ),
        Replicas: [
          Match.objectLike({
            DeletionProtectionEnabled: true,
            PointInTimeRecoverySpecification: {
              PointInTimeRecoveryEnabled: true,
              RecoveryPeriodInDays: 35,
            },
          }),
        ],
      },
    })
  })

  it('stays when the stack goes: buckets, people and the session key', () => {
    for (const type of ['AWS::S3::Bucket', 'AWS::Cognito::UserPool', 'AWS::SecretsManager::Secret'])
      data.allResources(type, { DeletionPolicy: 'Retain' })
    data.hasResourceProperties('AWS::Cognito::UserPool', {
      DeletionProtection: 'ACTIVE',
      AdminCreateUserConfig: { AllowAdminCreateUserOnly: true },
    })
  })

  it('tells EventBridge of new files by the bucket itself, without a function of CDK’s own', () => {
    data.hasResourceProperties('AWS::S3::Bucket', {
      NotificationConfiguration: { EventBridgeConfiguration: { EventBridgeEnabled: true } },
    })
    data.resourceCountIs('AWS::Lambda::Function', 0)
    service.resourceCountIs('AWS::Lambda::Function', 6)
  })

  it('opens no bucket to the public and none without TLS', () => {
    data.allResourcesProperties('AWS::S3::Bucket', {
      PublicAccessBlockConfiguration: {
        BlockPublicAcls: true,
        BlockPublicPolicy: true,
        IgnorePublicAcls: true,
        RestrictPublicBuckets: true,
      },
    })
  })
})

describe('queues and functions', () => {
  it('give each of the four queues dead letters after five tries', () => {
    const queues = Object.values(service.findResources('AWS::SQS::Queue'))
    const fed = queues.filter((q) => q.Properties.RedrivePolicy)
    expect(fed.length).toBe(4)
    for (const q of fed) expect(q.Properties.RedrivePolicy.maxReceiveCount).toBe(5)
    for (const q of queues) expect(q.Properties.MessageRetentionPeriod).toBe(14 * 86_400)
  })

  it('hide a message at least six times as long as its function may take', () => {
    const mappings = Object.values(service.findResources('AWS::Lambda::EventSourceMapping'))
    expect(mappings.length).toBe(4)
    const resources = service.toJSON().Resources
    for (const { Properties } of mappings) {
      const queue = resources[Properties.EventSourceArn['Fn::GetAtt'][0]].Properties
      const handler = resources[Properties.FunctionName.Ref].Properties
      expect(queue.VisibilityTimeout).toBeGreaterThanOrEqual(6 * handler.Timeout)
      expect(Properties.FunctionResponseTypes).toEqual(['ReportBatchItemFailures'])
    }
  })

  it('keep the compare queue in order by group, in high-throughput mode', () => {
    service.hasResourceProperties('AWS::SQS::Queue', {
      FifoQueue: true,
      DeduplicationScope: 'messageGroup',
      FifoThroughputLimit: 'perMessageGroupId',
      RedrivePolicy: Match.anyValue(),
    })
  })

  it('wake upkeep by schedules that each name a task of it', () => {
    const schedules = Object.values(service.findResources('AWS::Scheduler::Schedule'))
    const tasks = schedules.map(({ Properties }) => JSON.parse(Properties.Target.Input).task)
    expect(tasks.sort()).toEqual([
      ...['count', 'drafts', 'instruments', 'learn', 'sweep'],
      ...['urgent-unanswered', 'warnings-unanswered'],
    ])
    for (const { Properties } of schedules) expect(Properties.Target.DeadLetterConfig).toBeDefined()
  })

  it('run on Node 24 and arm64, traced, each with a log group that is not kept for ever', () => {
    service.allResourcesProperties('AWS::Lambda::Function', {
      Runtime: 'nodejs24.x',
      Architectures: ['arm64'],
      TracingConfig: { Mode: 'Active' },
      LoggingConfig: { LogGroup: Match.anyValue() },
    })
    service.allResourcesProperties('AWS::Logs::LogGroup', { RetentionInDays: 90 })
  })

  it('set concurrency aside for mail and sweep only, and for none when told so', () => {
    const aside = (t: Template) =>
      Object.values(t.findResources('AWS::Lambda::Function')).flatMap(
        (f) => f.Properties.ReservedConcurrentExecutions ?? [],
      )
    expect(aside(service).sort()).toEqual([2, 5])
    expect(aside(templatesOf({ 'stakeline:reserveConcurrency': 'no' }).service)).toEqual([])
  })
})

describe('what the functions may do', () => {
  it.each(FUNCTION_NAMES)('%s can neither scan nor do everything', (name) => {
    const actions = allowed(name)
    expect(actions).not.toContain('dynamodb:Scan')
    expect(actions.filter((a) => a.includes('*'))).toEqual([])
    const mayDelete = name === 'upkeep' ? ['s3:DeleteObject'] : []
    expect(actions.filter((a) => a.startsWith('s3:Delete'))).toEqual(mayDelete)
  })

  it('lets only * stand for a resource where AWS takes nothing else: traces', () => {
    for (const name of FUNCTION_NAMES)
      for (const s of statementsOf(name).filter((s) => listOf(s.Resource).includes('*')))
        expect(listOf(s.Action).filter((a) => !a.startsWith('xray:'))).toEqual([])
  })

  it('upkeep removes from the folder of drafts alone, and no version, so that what went can be brought back', () => {
    const removing = statementsOf('upkeep').filter((s) => listOf(s.Action).includes('s3:DeleteObject'))
    expect(removing.length).toBe(1)
    expect(listOf(removing[0]!.Action)).toEqual(['s3:DeleteObject'])
    expect(JSON.stringify(removing[0]!.Resource)).toMatch(/\/uploads\/\*/)
    data.hasResourceProperties('AWS::S3::Bucket', { VersioningConfiguration: { Status: 'Enabled' } })
  })

  it('notify cannot read uploads, and only notify sends mail', () => {
    expect(allowed('notify').filter((a) => a.startsWith('s3:'))).toEqual([])
    const senders = FUNCTION_NAMES.filter((n) => allowed(n).includes('ses:SendEmail'))
    expect(senders).toEqual(['notify'])
  })

  it.each(['web', 'notify'])('%s is denied to remove or batch-write any record', (name) => {
    const denied = statementsOf(name).filter((s) => s.Effect === 'Deny')
    expect(denied).toMatchObject([
      {
        Action: ['dynamodb:BatchWriteItem', 'dynamodb:DeleteItem'],
        Condition: {
          'ForAnyValue:StringLike': { 'dynamodb:LeadingKeys': ['E#*', 'S#*', 'I#*'] },
        },
      },
    ])
  })
})

describe('export', () => {
  const statements = (action: string) =>
    statementsOf('export').filter((s) => listOf(s.Action).includes(action))

  it('writes to the table in the jobs alone, and to the archive in its own folder alone', () => {
    expect(allowed('export').filter((a) => /^dynamodb:(Put|Update|Delete|BatchWrite)/.test(a))).toEqual([
      'dynamodb:PutItem',
    ])
    expect(statements('dynamodb:PutItem')).toMatchObject([
      { Condition: { 'ForAllValues:StringLike': { 'dynamodb:LeadingKeys': ['XJ#*'] } } },
    ])
    expect(allowed('export').filter((a) => a.startsWith('s3:'))).toEqual([
      's3:AbortMultipartUpload',
      's3:PutObject',
    ])
    expect(JSON.stringify(statements('s3:PutObject')[0]!.Resource)).toMatch(/\/exports\/\*/)
    expect(allowed('export').filter((a) => a.startsWith('sqs:Send'))).toEqual([])
  })

  it('leaves files that go by themselves, their older versions too', () => {
    data.hasResourceProperties('AWS::S3::Bucket', {
      LifecycleConfiguration: {
        Rules: Match.arrayWith([
          Match.objectLike({
            Prefix: 'exports/',
            Status: 'Enabled',
            ExpirationInDays: EXPORT_KEPT_DAYS,
            NoncurrentVersionExpiration: { NoncurrentDays: 1 },
          }),
        ]),
      },
    })
  })
})

describe('intake', () => {
  it('is denied to remove a single record', () => {
    const denied = statementsOf('intake').filter((s) => s.Effect === 'Deny')
    expect(denied).toMatchObject([{ Action: 'dynamodb:DeleteItem' }])
  })
})

describe('the bill', () => {
  it('can be told apart by application, deployment and part: every table, bucket, queue, function and log is tagged', () => {
    const named = templatesOf({ 'stakeline:name': 'north' })
    for (const [part, template] of Object.entries(named))
      for (const [id, { Type, Properties }] of Object.entries<Resource>(template.toJSON().Resources)) {
        if (!BILLED.test(Type)) continue
        const given = Properties.Tags ?? Properties.Replicas?.[0]?.Tags ?? []
        const tags = Array.isArray(given)
          ? Object.fromEntries(given.map(({ Key, Value }) => [Key, Value]))
          : given
        expect(tags, id).toMatchObject({ application: 'stakeline', deployment: 'north', part })
      }
  })
})

describe('the way in', () => {
  it('is throttled, and each request has a line in the access log', () => {
    service.hasResourceProperties('AWS::ApiGatewayV2::Stage', {
      AccessLogSettings: { DestinationArn: Match.anyValue() },
      DefaultRouteSettings: Match.objectLike({ ThrottlingRateLimit: 200, ThrottlingBurstLimit: 400 }),
    })
  })

  it('signs people in by the code flow alone, and lets nobody write the own sites', () => {
    const clients = Object.values(service.findResources('AWS::Cognito::UserPoolClient'))
    expect(clients.map((c) => c.Properties.AllowedOAuthFlows ?? [])).toEqual([['code'], []])
    for (const c of clients) expect(c.Properties.WriteAttributes).not.toContain('custom:sites')
  })
})

describe('alarms', () => {
  it('say what it means and name a step of the runbook, each', () => {
    const alarms = Object.values(service.findResources('AWS::CloudWatch::Alarm'))
    expect(alarms.length).toBeGreaterThanOrEqual(12)
    for (const { Properties } of alarms) {
      expect(Properties.AlarmDescription).toMatch(/\(runbook: [A-Z]/)
      expect(Properties.TreatMissingData).toBe(
        Properties.ComparisonOperator === 'LessThanThreshold' ? 'breaching' : 'notBreaching',
      )
    }
  })

  it('ring when nothing sweeps any more, which no other figure would show', () => {
    service.hasResourceProperties('AWS::CloudWatch::Alarm', {
      MetricName: 'Invocations',
      ComparisonOperator: 'LessThanThreshold',
      TreatMissingData: 'breaching',
      EvaluationPeriods: 6,
    })
  })

  it('watch every dead-letter queue and the age of the oldest work of every queue', () => {
    const alarms = Object.values(service.findResources('AWS::CloudWatch::Alarm')).map((a) => a.Properties)
    const watchedBy = (metric: string) =>
      alarms.filter((a) => a.MetricName === metric).map((a) => a.Dimensions[0].Value['Fn::GetAtt'][0])
    const queues = Object.entries(service.findResources('AWS::SQS::Queue'))
    const fed = queues.filter(([, q]) => q.Properties.RedrivePolicy).map(([id]) => id)
    const dead = queues.filter(([, q]) => !q.Properties.RedrivePolicy).map(([id]) => id)
    expect(watchedBy('ApproximateAgeOfOldestMessage').sort()).toEqual(fed.sort())
    expect(watchedBy('ApproximateNumberOfMessagesVisible').sort()).toEqual(dead.sort())
  })

  it('mail to whom the settings name, and to nobody otherwise', () => {
    service.resourceCountIs('AWS::SNS::Subscription', 0)
    templatesOf({ 'stakeline:alarmEmail': 'watch@example.org' }).service.hasResourceProperties(
      'AWS::SNS::Subscription',
      { Protocol: 'email', Endpoint: 'watch@example.org' },
    )
  })
})
