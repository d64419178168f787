import { RemovalPolicy } from 'aws-cdk-lib'
import { AttributeType, Billing, ProjectionType, TableV2 } from 'aws-cdk-lib/aws-dynamodb'
import type { Construct } from 'constructs'
import { TABLE_SHAPE } from '../../shared-lib/ledger/table.ts'

const text = (name: string) => ({ name, type: AttributeType.STRING })

/**
 * The one table, shaped as the ledger says. Paid by request, because surveys come in campaigns; every second of the last 35 days
 * can be restored; neither the stack nor a slip of the hand removes it.
 */
export function createTable(scope: Construct): TableV2 {
  return new TableV2(scope, 'Ledger', {
    partitionKey: text(TABLE_SHAPE.partitionKey),
    sortKey: text(TABLE_SHAPE.sortKey),
    globalSecondaryIndexes: TABLE_SHAPE.indexes.map((index) => ({
      indexName: index.name,
      partitionKey: text(index.partitionKey),
      sortKey: text(index.sortKey),
      ...(index.include.length > 0
        ? { projectionType: ProjectionType.INCLUDE, nonKeyAttributes: [...index.include] }
        : { projectionType: ProjectionType.KEYS_ONLY }),
    })),
    billing: Billing.onDemand(),
    pointInTimeRecoverySpecification: { pointInTimeRecoveryEnabled: true, recoveryPeriodInDays: 35 },
    deletionProtection: true,
    removalPolicy: RemovalPolicy.RETAIN,
  })
}
