import { CfnOutput, Stack, type StackProps } from 'aws-cdk-lib'
import type { Code } from 'aws-cdk-lib/aws-lambda'
import type { Construct } from 'constructs'
import type { StackConfig } from './config.ts'
import type { DataStack } from './data-stack.ts'
import { createAlarms } from './service/alarms.ts'
import { createApi } from './service/api.ts'
import { createDashboard } from './service/dashboard.ts'
import { createFeeds } from './service/feeds.ts'
import { createFunctions, FUNCTION_NAMES, type FunctionName } from './service/functions.ts'
import { grant } from './service/grants.ts'
import { createMail } from './service/mail.ts'
import { createQueues } from './service/queues.ts'
import { createClients } from './service/sign-in.ts'

export interface ServiceStackProps extends StackProps {
  config: StackConfig
  data: DataStack
  /** The bundle of a function: the entry makes them with esbuild, tests hand in a line of code. */
  codeOf(name: FunctionName): Code
}

/** Everything that can be made anew at any time: API, functions, queues, schedule, mail, alarms. What is kept is in the data stack. */
export class ServiceStack extends Stack {
  constructor(scope: Construct, id: string, { config, data, codeOf, ...props }: ServiceStackProps) {
    super(scope, id, props)
    const logRetention = config.logRetentionDays
    const { api, baseUrl, serve } = createApi(this, config, logRetention)
    const queues = createQueues(this)
    const mail = createMail(this, config.mailFrom, config.createMailIdentity)
    const { table, archive, archiveArn, people, sessionKey } = data
    const parts = {
      ...{ config, codeOf, logRetention, baseUrl, queues, mail },
      ...{ table, archive, archiveArn, people, sessionKey },
      ...createClients(this, people, baseUrl),
    }
    const functions = createFunctions(this, parts)
    grant(functions, parts)
    serve(functions.web)
    const { missedSweeps } = createFeeds(this, functions, queues, archive)
    const watched = { api, functions, queues, missedSweeps, mail }
    createDashboard(this, watched, createAlarms(this, watched, config.alarmEmail), config.operatorName)

    new CfnOutput(this, 'Url', { value: baseUrl })
    new CfnOutput(this, 'PagesClientId', { value: parts.pagesClient.userPoolClientId })
    new CfnOutput(this, 'ProgramsClientId', { value: parts.programsClient.userPoolClientId })
    for (const [name, { queue, deadLetters }] of Object.entries(queues)) {
      new CfnOutput(this, `${name}-queue-url`, { value: queue.queueUrl })
      new CfnOutput(this, `${name}-dead-letters-url`, { value: deadLetters.queueUrl })
    }
    for (const name of FUNCTION_NAMES)
      new CfnOutput(this, `${name}-function`, { value: functions[name].functionName })
  }
}
