import { execFileSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { resolve } from 'node:path'
import { fastestInTurn, timeCommand, timeNode } from '../child.ts'
import { makeSurveyFiles } from '../many-surveys.ts'
import { type Benchmark, ratioOf } from '../ratio.ts'

const SURVEYS = 100_000
const TURNS = 2
const VENV = resolve('node_modules/.cache/bench-python')
const PACKAGES = ['pandas==3.1.1', 'scipy==1.17.1', 'pymannkendall==1.4.3']

function pythonWithPackages(): string {
  const python = `${VENV}/bin/python`
  if (!existsSync(python)) {
    execFileSync('python3', ['-m', 'venv', VENV])
    execFileSync(`${VENV}/bin/pip`, ['install', '--quiet', ...PACKAGES], { stdio: 'inherit' })
  }
  return python
}

/** All of `check` against a plain Python script that does mean, spread and trend only. */
export const plainScript: Benchmark = {
  name: 'plain-script',
  async run(scale) {
    const python = pythonWithPackages()
    const files = await makeSurveyFiles(Math.round(SURVEYS * scale), 'long')
    try {
      const [plain, checked] = await fastestInTurn(TURNS, [
        () => timeCommand(python, ['tests/bench/children/plain-script.py', files.surveys]),
        () =>
          timeNode('functions/cli/stakeline.mjs', [
            ...['check', '--register', files.register, '--surveys', files.surveys, '--json'],
          ]),
      ])
      if (Number(plain!.said) !== files.surveyCount) throw new Error('the script did not read every survey')
      return [
        ratioOf({
          name: 'check-python',
          what: `stakeline check on ${files.surveyCount} short surveys, with history`,
          against: `pandas, scipy theilslopes, pymannkendall: mean, spread, trend (${PACKAGES.join(' ')})`,
          measured: checked!.seconds,
          reference: plain!.seconds,
          unit: 's',
          goal: 1,
        }),
      ]
    } finally {
      await files.remove()
    }
  },
}
