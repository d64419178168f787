/** The thread that `compareApart` starts: it answers each site it is given, in order. */
import { parentPort, workerData } from 'node:worker_threads'
import { type ComparedBy, compareSite, type SiteTests } from './compare-site.ts'

const by = workerData as ComparedBy
parentPort!.on('message', (site: SiteTests) => parentPort!.postMessage(compareSite(site, by)))
