import { execFile } from 'node:child_process'
import { copyFile, mkdir, readdir } from 'node:fs/promises'
import { join } from 'node:path'
import { promisify } from 'node:util'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type Folder, folder, LAUNCHER, olderNode, records, stakeline, start } from './command.ts'
import { ELECTRODES, row, surveys } from './tables.ts'

let here: Folder
beforeEach(async () => {
  here = await folder()
})
afterEach(() => here.remove())

const older = olderNode()

describe.skipIf(older === null)('started with an older Node', () => {
  it('goes on under the Node of its own packages, with the same output and exit status', async () => {
    const node = older!
    const args = ['plan', '--kind', 'rod', '--length-m', '3', '--json']
    const direct = await stakeline(args)
    expect(direct.status).toBe(0)
    expect(await stakeline(args, { node })).toEqual(direct)
    expect(await stakeline(['plan'], { node })).toMatchObject({ status: 2, stdout: '' })
  })

  it('hands standard input on', async () => {
    const register = await here.file('electrodes.csv', ELECTRODES)
    const ended = await stakeline(['check', '--register', register, '--surveys', '-', '--json'], {
      node: older!,
      input: surveys(row('S-1', 'E-1', '2024-05-04T10:00:00Z', 11), 'S-2,E-1,x,30,electrode-alone,1,1,1'),
    })
    expect(ended).toMatchObject({ status: 1, stderr: '' })
    expect(records(ended.stdout).map((r) => r.kind)).toEqual(['survey', 'refused'])
  })

  it('says what is needed when there is no newer one', async () => {
    const alone = join(here.path, 'stakeline.mjs')
    await copyFile(LAUNCHER, alone)
    const ended = await stakeline(['plan'], { node: older!, launcher: alone, cwd: here.path })
    expect(ended).toMatchObject({ status: 2, stdout: '' })
    expect(ended.stderr).toMatch(/needs Node 24 .*this is Node \d+/)
    expect(ended.stderr).toMatch(/npm ci/)
  })
})

describe('ended before its time', () => {
  const nodes = [process.execPath, ...(older === null ? [] : [older])]

  it.each(nodes)(
    'by Ctrl-C it goes at once with status 130 and leaves no throw-away file (%s)',
    async (node) => {
      const register = await here.file('electrodes.csv', ELECTRODES)
      const temporary = join(here.path, 'tmp')
      await mkdir(temporary)
      const child = start(['check', '--register', register, '--surveys', '-', '--json'], {
        node,
        env: { TMPDIR: temporary },
      })
      // Standard input stays open: the command is waiting for the rest of it.
      child.stdin.write(surveys(row('S-1', 'E-1', '2024-05-04T10:00:00Z', 11)))
      const spooled = async () => {
        const [workspace] = await readdir(temporary)
        return workspace !== undefined && (await readdir(join(temporary, workspace))).length > 0
      }
      while (!(await spooled())) await new Promise((again) => setTimeout(again, 20))
      child.kill('SIGINT')
      const [status, signal] = await new Promise<[number | null, string | null]>((done) =>
        child.on('close', (...end) => done(end)),
      )
      expect([status, signal]).toEqual([130, null])
      expect(await readdir(temporary)).toEqual([])
    },
  )

  it('leaves no throw-away file when it ends by itself, refused or not', async () => {
    const register = await here.file('electrodes.csv', ELECTRODES)
    const temporary = join(here.path, 'tmp')
    await mkdir(temporary)
    for (const input of [surveys(row('S-1', 'E-1', '2024-05-04', 11)), 'nonsense', ''])
      await stakeline(['check', '--register', register, '--surveys', '-'], {
        input,
        env: { TMPDIR: temporary },
      })
    await stakeline(['check', '--register', join(here.path, 'nowhere'), '--surveys', '-'], {
      env: { TMPDIR: temporary },
    })
    expect(await readdir(temporary)).toEqual([])
  })

  it('is quiet when the reader has seen enough', async () => {
    const register = await here.file('electrodes.csv', ELECTRODES)
    // More output than a pipe holds, so that writing goes on after the reader has gone.
    const rows = Array.from({ length: 300 }, (_, n) =>
      row(`S-${n}`, 'E-1', new Date(Date.UTC(2000, 0, 1 + n * 30)).toISOString(), 11),
    )
    const file = await here.file('surveys.csv', surveys(...rows))
    const command = `"${process.execPath}" "${LAUNCHER}" check --register "${register}" --surveys "${file}" --json | head -n 1`
    const { stdout, stderr } = await promisify(execFile)('sh', ['-c', command])
    expect(records(stdout)).toHaveLength(1)
    expect(stderr).toBe('')
  })
})

describe('without a place for throw-away files', () => {
  it('says which setting to change, with status 2', async () => {
    const ended = await stakeline(['check', '--register', 'r.csv', '--surveys', 's.csv'], {
      env: { TMPDIR: join(here.path, 'nowhere') },
    })
    expect(ended).toMatchObject({ status: 2, stdout: '' })
    expect(ended.stderr).toMatch(/Set TMPDIR/)
  })
})
