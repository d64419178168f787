import type { CreateTableCommandInput } from '@aws-sdk/client-dynamodb'
import { TABLE_SHAPE, type TableShape } from '../../../shared-lib/ledger/table.ts'

/** The table's shape as the request that makes it. All keys are text. */
export function createTableInput(
  tableName: string,
  shape: TableShape = TABLE_SHAPE,
): CreateTableCommandInput {
  const keys = (partitionKey: string, sortKey: string) => [
    { AttributeName: partitionKey, KeyType: 'HASH' as const },
    { AttributeName: sortKey, KeyType: 'RANGE' as const },
  ]
  const named = [shape, ...shape.indexes].flatMap((k) => [k.partitionKey, k.sortKey])
  return {
    TableName: tableName,
    BillingMode: 'PAY_PER_REQUEST',
    AttributeDefinitions: named.map((AttributeName) => ({ AttributeName, AttributeType: 'S' as const })),
    KeySchema: keys(shape.partitionKey, shape.sortKey),
    GlobalSecondaryIndexes: shape.indexes.map((index) => ({
      IndexName: index.name,
      KeySchema: keys(index.partitionKey, index.sortKey),
      Projection:
        index.include.length > 0
          ? { ProjectionType: 'INCLUDE' as const, NonKeyAttributes: index.include }
          : { ProjectionType: 'KEYS_ONLY' as const },
    })),
  }
}
