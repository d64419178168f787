import type { Hono } from 'hono'
import type { WebDeps } from '../deps.ts'
import type { WebEnv } from '../session.ts'

/** Mounts the pages. */
export function registerPages(_app: Hono<WebEnv>, _deps: WebDeps): void {}
