import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { App } from 'aws-cdk-lib'
import { Template } from 'aws-cdk-lib/assertions'
import { Code } from 'aws-cdk-lib/aws-lambda'
import { readConfig, type StackConfig } from '../../cdk/config.ts'
import { createStacks } from '../../cdk/stacks.ts'

const CDK_JSON = JSON.parse(readFileSync(join(import.meta.dirname, '../../cdk.json'), 'utf8')) as {
  context: Record<string, unknown>
}

/** The settings of cdk.json, with changes. */
export const configWith = (changes: Record<string, unknown> = {}): StackConfig =>
  readConfig({ ...CDK_JSON.context, ...changes })

/** A CDK app with cdk.json's context and both stacks; functions have one line of code, because what they do is tested elsewhere. */
export function stacksOf(changes: Record<string, unknown> = {}, outdir?: string) {
  const app = new App({
    context: CDK_JSON.context,
    builtinCloudFormationValidation: outdir !== undefined,
    ...(outdir === undefined ? {} : { outdir }),
  })
  const code = () => Code.fromInline('exports.handler = async () => {}')
  return { app, ...createStacks(app, configWith(changes), code) }
}

export function templatesOf(changes: Record<string, unknown> = {}): { data: Template; service: Template } {
  const { data, service } = stacksOf(changes)
  return { data: Template.fromStack(data), service: Template.fromStack(service) }
}
