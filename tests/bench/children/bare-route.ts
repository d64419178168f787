/**
 * A bare hono route over the embedded table: one conditional put of the body, nothing else. It prints its address and stops when
 * its input ends: node bare-route.ts FOLDER
 */
import { PutCommand } from '@aws-sdk/lib-dynamodb'
import { serve } from '@hono/node-server'
import { Hono } from 'hono'
import { openTable } from '../../../cdk/local/adapters/table.ts'

const { client, tableName, close } = await openTable({ dataDir: process.argv[2]!, apart: true })
const app = new Hono()
app.post('/api/surveys', async (c) => {
  const survey = await c.req.json<{ surveyRef: string }>()
  const Item = { pk: `BARE#${survey.surveyRef}`, sk: 'SURVEY', survey }
  await client.send(
    new PutCommand({ TableName: tableName, Item, ConditionExpression: 'attribute_not_exists(pk)' }),
  )
  return c.json({ stored: true }, 201)
})
const server = serve({ fetch: app.fetch, port: 0, hostname: '127.0.0.1' }, ({ port }) =>
  console.log(`http://127.0.0.1:${port}`),
)
process.stdin.resume()
process.stdin.on('end', async () => {
  server.close()
  await close()
})
