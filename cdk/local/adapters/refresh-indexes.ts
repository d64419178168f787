import { type DynamoDBDocumentClient, ScanCommand, UpdateCommand } from '@aws-sdk/lib-dynamodb'
import { inParallel } from '../../../shared-lib/ledger/parallel.ts'
import { INDEX_ATTRIBUTES } from '../../../shared-lib/ledger/table.ts'

const AT_ONCE = 4

/**
 * Makes the embedded table write the index rows of every item once more. dynalite writes an item's index rows before the item, so a
 * process killed between the two leaves an item without its row, and it would be missing in lists. An update that changes nothing
 * sets that right and, unlike a put, cannot undo what others write meanwhile. Returns how many items it went through.
 */
export async function refreshIndexes(
  client: DynamoDBDocumentClient,
  tableName: string,
  stopped: () => boolean,
): Promise<number> {
  const firstKeys = Object.values(INDEX_ATTRIBUTES).map(([partitionKey]) => partitionKey)
  let refreshed = 0
  let start: Record<string, unknown> | undefined
  do {
    const page = await client.send(
      new ScanCommand({
        TableName: tableName,
        Limit: 500,
        FilterExpression: firstKeys.map((name) => `attribute_exists(${name})`).join(' OR '),
        ProjectionExpression: 'pk, sk, v',
        ...(start ? { ExclusiveStartKey: start } : {}),
      }),
    )
    await inParallel(page.Items ?? [], AT_ONCE, async ({ pk, sk, v }) => {
      if (stopped()) return
      await client
        .send(
          new UpdateCommand({
            TableName: tableName,
            Key: { pk, sk },
            UpdateExpression: 'SET v = :v',
            ConditionExpression: 'v = :v',
            ExpressionAttributeValues: { ':v': v },
          }),
        )
        .catch((error: Error) => {
          // Removed in the meantime: then it needs no row.
          if (error.name !== 'ConditionalCheckFailedException') throw error
        })
      refreshed++
    })
    start = page.LastEvaluatedKey
  } while (start && !stopped())
  return refreshed
}
