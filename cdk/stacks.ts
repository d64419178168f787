import { type App, Tags } from 'aws-cdk-lib'
import type { Code } from 'aws-cdk-lib/aws-lambda'
import type { StackConfig } from './config.ts'
import { DataStack } from './data-stack.ts'
import type { FunctionName } from './service/functions.ts'
import { ServiceStack } from './service-stack.ts'

/** Both stacks of a deployment, every resource tagged so that the bill can be told apart. */
export function createStacks(
  app: App,
  config: StackConfig,
  codeOf: (name: FunctionName) => Code,
): { data: DataStack; service: ServiceStack } {
  const common = { config, ...(config.region === undefined ? {} : { env: { region: config.region } }) }
  const data = new DataStack(app, `${config.name}-data`, {
    ...common,
    description: 'stakeline: what is kept (table, uploaded files, people)',
  })
  const service = new ServiceStack(app, `${config.name}-service`, {
    ...common,
    data,
    codeOf,
    description: 'stakeline: API, functions, queues, schedule, mail, alarms',
  })
  Tags.of(app).add('application', 'stakeline')
  Tags.of(app).add('deployment', config.name)
  Tags.of(data).add('part', 'data')
  Tags.of(service).add('part', 'service')
  return { data, service }
}
