import { startQueue } from './queue/start-queue.ts'

/** The review queue: keys, decisions in place, undo. Without it the same form does the same work, a page at a time. */
startQueue()
