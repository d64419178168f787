import { Duration, RemovalPolicy } from 'aws-cdk-lib'
import { Effect, type IGrantable, PolicyStatement, Role, ServicePrincipal } from 'aws-cdk-lib/aws-iam'
import { Architecture, type Code, Function as LambdaFunction, Runtime, Tracing } from 'aws-cdk-lib/aws-lambda'
import { LogGroup, type RetentionDays } from 'aws-cdk-lib/aws-logs'
import type { Construct } from 'constructs'

export interface FunctionShape {
  name: string
  description: string
  code: Code
  memoryMb: number
  timeoutS: number
  environment: Record<string, string>
  logRetention: RetentionDays
  /** So many at once at most, and set aside for it; absent = as many as the account allows. */
  reservedConcurrency?: number
}

/**
 * A function on Node 24 and arm64 with a role of its own that may at first do two things: write its own log group, and send traces.
 * What else it may do is granted where the reason is.
 */
export function createFunction(scope: Construct, shape: FunctionShape): LambdaFunction {
  const { name } = shape
  const logGroup = new LogGroup(scope, `${name}-log`, {
    retention: shape.logRetention,
    removalPolicy: RemovalPolicy.DESTROY,
  })
  const role = new Role(scope, `${name}-role`, { assumedBy: new ServicePrincipal('lambda.amazonaws.com') })
  allow(role, ['logs:CreateLogStream', 'logs:PutLogEvents'], [logGroup.logGroupArn])
  return new LambdaFunction(scope, name, {
    description: shape.description,
    runtime: Runtime.NODEJS_24_X,
    architecture: Architecture.ARM_64,
    handler: 'index.handler',
    code: shape.code,
    memorySize: shape.memoryMb,
    timeout: Duration.seconds(shape.timeoutS),
    role,
    logGroup,
    tracing: Tracing.ACTIVE,
    environment: shape.environment,
    ...(shape.reservedConcurrency === undefined
      ? {}
      : { reservedConcurrentExecutions: shape.reservedConcurrency }),
  })
}

/** One statement of a role, spelled out: these actions on these resources. */
export function allow(who: IGrantable, actions: string[], resources: string[]): void {
  who.grantPrincipal.addToPrincipalPolicy(new PolicyStatement({ effect: Effect.ALLOW, actions, resources }))
}
