import { mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { App, Validations } from 'aws-cdk-lib'
import { Code } from 'aws-cdk-lib/aws-lambda'
import { AwsSolutionsChecks } from 'cdk-nag'
import { acknowledge, acknowledgements } from './acknowledgements.ts'
import { bundleFunctions } from './bundles/bundle-functions.ts'
import { ConfigError, readConfig } from './config.ts'
import { FUNCTION_NAMES } from './service/functions.ts'
import { createStacks } from './stacks.ts'

/** `npx cdk synth` and `npx cdk deploy`: bundles the functions and makes both stacks, checked by cdk-nag. Needs no account. */
try {
  const app = new App()
  const config = readConfig(app.node.getAllContext())
  const bundles = await bundleFunctions(FUNCTION_NAMES, mkdtempSync(join(tmpdir(), 'stakeline-bundles-')))
  const stacks = createStacks(app, config, (name) => Code.fromAsset(bundles[name].folder))
  acknowledge(stacks, acknowledgements(config.name))
  Validations.of(app).addPlugins(new AwsSolutionsChecks(app))
  app.synth()
} catch (error) {
  if (!(error instanceof ConfigError)) throw error
  console.error(error.message)
  process.exit(2)
}
