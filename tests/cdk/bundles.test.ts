import { mkdtemp, rm } from 'node:fs/promises'
import { isBuiltin } from 'node:module'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Bundle, bundleFunctions, sourcesAtStart } from '../../cdk/bundles/bundle-functions.ts'
import { FUNCTION_NAMES, type FunctionName } from '../../cdk/service/functions.ts'

let folder: string
let bundles: Record<FunctionName, Bundle>
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'stakeline-bundles-'))
  bundles = await bundleFunctions(FUNCTION_NAMES, folder)
}, 60_000)
afterAll(() => rm(folder, { recursive: true, force: true }))

describe('the bundles of the functions', () => {
  it('have at most 0.8 MB each, and 1.4 MB with all pages', () => {
    for (const name of FUNCTION_NAMES)
      expect(bundles[name].bytes, name).toBeLessThan(name === 'web' ? 1_400_000 : 800_000)
  })

  it('hold one copy of each SDK client', () => {
    for (const name of FUNCTION_NAMES) {
      const inputs = Object.keys(bundles[name].metafile.inputs)
      const clients = inputs.filter((f) => /@aws-sdk\/client-[\w-]+\/dist-es\/\w+Client\.js$/.test(f))
      const packages = clients.map((f) => /.*(@aws-sdk\/client-[\w-]+)/.exec(f)?.[1])
      expect(new Set(packages).size, name).toBe(packages.length)
    }
  })

  it('start web without what most of its first requests have no use for', () => {
    const start = sourcesAtStart(bundles.web)
    expect(start).toContain('functions/web/pages/surveys/survey-form-routes.ts')
    for (const later of [
      ...[
        'client-s3/',
        's3-presigned-post',
        'papaparse',
        'd3-scale',
        'uqr',
        'ical-generator',
        'openid-client',
      ],
      ...['zod/v4/classic', 'functions/web/api/', 'shared-lib/evaluate/evaluate-survey'],
    ])
      expect(
        start.filter((f) => f.includes(later)),
        later,
      ).toEqual([])
  })

  it('leave nothing outside but Node’s own, and what the SDK never asks for on Lambda', () => {
    for (const name of FUNCTION_NAMES) {
      const imports = Object.values(bundles[name].metafile.outputs).flatMap((output) => output.imports)
      for (const { path, kind } of imports.filter((i) => i.external && !isBuiltin(i.path)))
        expect(`${name}: ${kind} ${path}`).toMatch(
          /: dynamic-import (bowser$|@(aws-sdk|smithy)\/credential-provider-)/,
        )
    }
  })
})
