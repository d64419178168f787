import { mkdir, rm, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { type BuildOptions, build, type Metafile } from 'esbuild'
import { buildClient } from '../../functions/web/client/build-client.ts'

const ROOT = join(import.meta.dirname, '../..')

/**
 * What the SDK imports when it needs it, which on Lambda it never does: ways to credentials beyond the environment, which has them and
 * is asked first, and the name of a browser. Together they would be a tenth of each bundle.
 */
const NOT_ON_LAMBDA = [
  'bowser',
  ...['ini', 'process', 'sso', 'web-identity'].map((way) => `@aws-sdk/credential-provider-${way}`),
  '@smithy/credential-provider-imds',
]

/**
 * How each function is bundled: its own code, the SDK clients it uses and nothing from outside, for Node 24. Compiled code is not
 * shipped along: Node keeps it by its own version, processor, flags and user, none of which are those of the machine that deploys.
 */
export const BUNDLE_OPTIONS = {
  bundle: true,
  minify: true,
  format: 'esm',
  platform: 'node',
  target: 'node24',
  // The ES modules of a package leave out what is not used; the CommonJS ones cannot.
  mainFields: ['module', 'main'],
  // Some packages still ask for `require`, which an ES module has to make: when one does, because it takes a while in each file.
  banner: {
    js: "import{createRequire as makeRequire}from'node:module';const require=(name)=>makeRequire(import.meta.url)(name);",
  },
  // What is imported on first use (a rarely asked route, credentials that Lambda never needs) is a file of its own, unread until then.
  splitting: true,
  external: NOT_ON_LAMBDA,
  outExtension: { '.js': '.mjs' },
  entryNames: 'index',
  chunkNames: 'part-[hash]',
  legalComments: 'none',
  charset: 'utf8',
  logLevel: 'warning',
  metafile: true,
} as const satisfies BuildOptions

/** Where a function lives that is not in a folder of its own name. */
const FOLDER_OF: Record<string, string> = { export: 'web/exports' }

export interface Bundle {
  folder: string
  /** Of all its files. */
  bytes: number
  metafile: Metafile
}

/** The source files in what a new copy of the function reads before its first call; the rest is read when it is asked for. */
export function sourcesAtStart({ metafile }: Pick<Bundle, 'metafile'>): string[] {
  const files = new Set<string>()
  const read = (file: string) => {
    if (files.has(file)) return
    files.add(file)
    for (const { kind, path, external } of metafile.outputs[file]?.imports ?? [])
      if (kind === 'import-statement' && !external) read(path)
  }
  for (const [file, { entryPoint }] of Object.entries(metafile.outputs))
    if (entryPoint?.endsWith('/lambda.ts')) read(file)
  return [...files].flatMap((file) => Object.keys(metafile.outputs[file]?.inputs ?? {}))
}

/**
 * Makes the bundle of each function in a folder of its own under `outFolder`; web's has the browser files beside it. The same
 * sources make the same bytes, so an unchanged function is not deployed again. Nothing is fetched.
 */
export async function bundleFunctions<Name extends string>(
  names: readonly Name[],
  outFolder: string,
): Promise<Record<Name, Bundle>> {
  await rm(outFolder, { recursive: true, force: true })
  const bundles = await Promise.all(
    names.map(async (name) => {
      const folder = join(outFolder, name)
      await mkdir(folder, { recursive: true })
      const { metafile } = await build({
        ...BUNDLE_OPTIONS,
        absWorkingDir: ROOT,
        entryPoints: [`functions/${FOLDER_OF[name] ?? name}/lambda.ts`],
        outdir: folder,
      })
      if (name === 'web') await writeFile(join(folder, 'assets.json'), JSON.stringify(await buildClient()))
      const bytes = Object.values(metafile.outputs).reduce((sum, output) => sum + output.bytes, 0)
      return [name, { folder, bytes, metafile }] as const
    }),
  )
  return Object.fromEntries(bundles) as Record<Name, Bundle>
}
