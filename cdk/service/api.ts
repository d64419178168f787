import { RemovalPolicy } from 'aws-cdk-lib'
import {
  CfnApiMapping,
  CfnStage,
  DomainName,
  HttpApi,
  HttpRoute,
  HttpRouteKey,
  PayloadFormatVersion,
} from 'aws-cdk-lib/aws-apigatewayv2'
import { HttpLambdaIntegration } from 'aws-cdk-lib/aws-apigatewayv2-integrations'
import { Certificate } from 'aws-cdk-lib/aws-certificatemanager'
import type { IFunction } from 'aws-cdk-lib/aws-lambda'
import { LogGroup, type RetentionDays } from 'aws-cdk-lib/aws-logs'
import type { Construct } from 'constructs'
import type { StackConfig } from '../config.ts'

/** Requests a second over all callers, and at once: far above a campaign's peak, far below what would hurt the account. */
const RATE_PER_S = 200
const BURST = 400

/** One line a request: who asked what is not in it, save the address it came from, which an attack must be traced by. */
const ACCESS_LOG = JSON.stringify({
  requestId: '$context.requestId',
  at: '$context.requestTime',
  ip: '$context.identity.sourceIp',
  method: '$context.httpMethod',
  protocol: '$context.protocol',
  status: '$context.status',
  responseBytes: '$context.responseLength',
  latencyMs: '$context.responseLatency',
  error: '$context.integrationErrorMessage',
})

export interface ApiParts {
  api: HttpApi
  /** The address people reach it by, without a trailing slash. */
  baseUrl: string
  /** Leads every request to this function. Apart from the making, because the function is told the address. */
  serve(web: IFunction): void
}

/** The HTTP API in front of the web function, with throttling and access logs; at the operator's own address when there is one. */
export function createApi(scope: Construct, config: StackConfig, logRetention: RetentionDays): ApiParts {
  const own = config.domainName
  const api = new HttpApi(scope, 'Api', {
    description: `stakeline for ${config.operatorName}`,
    createDefaultStage: false,
    // Behind an address of its own the plain one is shut: one way in.
    disableExecuteApiEndpoint: own !== undefined,
  })
  const accessLog = new LogGroup(scope, 'AccessLog', {
    retention: logRetention,
    removalPolicy: RemovalPolicy.DESTROY,
  })
  const stage = new CfnStage(scope, 'Stage', {
    apiId: api.apiId,
    stageName: '$default',
    autoDeploy: true,
    accessLogSettings: { destinationArn: accessLog.logGroupArn, format: ACCESS_LOG },
    defaultRouteSettings: {
      throttlingRateLimit: RATE_PER_S,
      throttlingBurstLimit: BURST,
      detailedMetricsEnabled: true,
    },
  })
  if (own !== undefined) {
    const domain = new DomainName(scope, 'Domain', {
      domainName: own,
      certificate: Certificate.fromCertificateArn(scope, 'Certificate', config.certificateArn!),
    })
    new CfnApiMapping(scope, 'Mapping', {
      apiId: api.apiId,
      domainName: domain.name,
      stage: stage.ref,
    })
  }
  return {
    api,
    baseUrl: own === undefined ? api.apiEndpoint : `https://${own}`,
    serve(web) {
      new HttpRoute(scope, 'Everything', {
        httpApi: api,
        routeKey: HttpRouteKey.DEFAULT,
        integration: new HttpLambdaIntegration('web', web, {
          payloadFormatVersion: PayloadFormatVersion.VERSION_2_0,
        }),
      })
    },
  }
}
