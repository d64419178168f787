#!/usr/bin/env node
// The launcher. It runs on any Node from 18 on and finds the Node 24 that the tool itself needs: the one it was started
// with, or the one the `node` package put into node_modules. Plain JavaScript, because an older Node reads no TypeScript.
import { spawn } from 'node:child_process'
import { existsSync } from 'node:fs'
import module, { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { fileURLToPath } from 'node:url'

const NEEDED_MAJOR = 24
const majorOf = (version) => Number.parseInt(version.split('.')[0], 10)

/** The binary of the `node` package, or null when that package is not installed. */
function packagedNode() {
  try {
    const manifest = createRequire(import.meta.url).resolve('node/package.json')
    const binary = join(dirname(manifest), 'bin', process.platform === 'win32' ? 'node.exe' : 'node')
    return existsSync(binary) ? binary : null
  } catch {
    return null
  }
}

function giveUp() {
  process.stderr.write(
    `stakeline needs Node ${NEEDED_MAJOR} or newer; this is Node ${process.versions.node}, and no newer one is in node_modules.\n` +
      'Run `npm ci` in the folder of stakeline (it brings one along), or install Node from https://nodejs.org.\n',
  )
  process.exitCode = 2
}

/** Runs the same command under another Node; signals go to it, and its end is ours. */
function handOverTo(binary) {
  const flags = ['--disable-warning=ExperimentalWarning']
  const child = spawn(binary, [...flags, fileURLToPath(import.meta.url), ...process.argv.slice(2)], {
    stdio: 'inherit',
    env: { ...process.env, STAKELINE_RELAUNCHED: '1' },
  })
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP']) process.on(signal, () => child.kill(signal))
  child.on('error', giveUp)
  child.on('exit', (code, signal) => {
    process.exitCode = code ?? (signal === 'SIGINT' ? 130 : 143)
  })
}

if (majorOf(process.versions.node) >= NEEDED_MAJOR) {
  // Node 24 before 24.12 remarks that it strips types; people who run the tool can do nothing with that.
  const { emitWarning } = process
  process.emitWarning = (warning, ...rest) => {
    const kind = typeof rest[0] === 'object' ? rest[0]?.type : rest[0]
    if (kind !== 'ExperimentalWarning') emitWarning.call(process, warning, ...rest)
  }
  // What Node made of the source last time, kept beside the packages: half of the start-up. A folder that cannot be written is no matter.
  module.enableCompileCache?.(
    join(dirname(fileURLToPath(import.meta.url)), '../../node_modules/.cache/stakeline'),
  )
  await import('./main.ts')
} else {
  const binary = process.env.STAKELINE_RELAUNCHED ? null : packagedNode()
  if (binary) handOverTo(binary)
  else giveUp()
}
