import type { Stack } from 'aws-cdk-lib'
import { Validations } from 'aws-cdk-lib'

/** A finding of cdk-nag that stays, where it is, and why. Each must still be found: a test compares this list with what nag says. */
export interface Acknowledgement {
  stack: 'data' | 'service'
  /** The construct's path inside its stack. */
  path: string
  id: string
  reason: string
}

const TRACES =
  'Sending traces to X-Ray knows no resource: AWS takes * only, and the two actions read nothing.'
const FOLDER =
  'The objects of one folder of the archive: their keys end with the id of each upload, so a * must stand for it.'

/** Every acknowledged finding of a deployment of this name. */
export function acknowledgements(name: string): Acknowledgement[] {
  const wildcard = (path: string, resource: string, reason: string): Acknowledgement => ({
    stack: 'service',
    path,
    id: `AwsSolutions-IAM5[Resource::${resource}]`,
    reason,
  })
  const folder = (role: string, name_: string) => wildcard(role, `${name}-archive-arn/${name_}/*`, FOLDER)
  return [
    ...['web', 'intake', 'compare', 'notify', 'upkeep', 'export'].map((f) =>
      wildcard(`${f}-role`, '*', TRACES),
    ),
    ...['web-role', 'intake-role'].flatMap((role) =>
      ['uploads', 'direct', 'tickets'].map((f) => folder(role, f)),
    ),
    folder('upkeep-role', 'uploads'),
    ...['web-role', 'export-role'].map((role) => folder(role, 'exports')),
    {
      stack: 'service',
      path: 'Everything',
      id: 'AwsSolutions-APIG4',
      reason:
        'The app itself asks who is there on every route, pages by session and programs by token; a few routes (sign-in, health) must be open. A test holds the whole table of routes.',
    },
    {
      stack: 'service',
      path: 'missed-sweeps',
      id: 'AwsSolutions-SQS3',
      reason: 'It is the dead-letter queue of the schedule, which cdk-nag does not look at.',
    },
    {
      stack: 'data',
      path: 'People',
      id: 'AwsSolutions-COG2',
      reason:
        'A second factor is offered to everybody and not forced: crews in the field share phones without signal. An operator may force it in the pool.',
    },
    {
      stack: 'data',
      path: 'People',
      id: 'AwsSolutions-COG8',
      reason: 'The dearer plan of the pool adds nothing that is used here.',
    },
    {
      stack: 'data',
      path: 'SessionKey',
      id: 'AwsSolutions-SMG4',
      reason:
        'Rotated by hand (runbook: Rotate keys): a function that rotates would need more rights than the key protects.',
    },
  ]
}

/** @throws when a path leads nowhere: an acknowledgement for nothing */
export function acknowledge(stacks: { data: Stack; service: Stack }, list: readonly Acknowledgement[]): void {
  for (const { stack, path, id, reason } of list) {
    const construct = stacks[stack].node.findChild(path)
    Validations.of(construct).acknowledge({ id, reason })
  }
}
