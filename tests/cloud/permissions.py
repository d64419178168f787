"""Holds what each function did against what its role allows, with the policy engine of the emulator (none of ours).

Every signed call is judged with its action, its resource and, for the table, the partitions it touches. Nothing done may be denied,
nothing granted may be without use (or without a reason below), and what must never be possible must be denied.
"""
import json
import re
import urllib.parse
from collections import Counter

import boto3
from ministack.core.iam_evaluator import EvalContext, evaluate, parse_policy_document

from service import check

FUNCTIONS = ("web", "intake", "compare", "notify", "upkeep", "export")
PLATFORM = "Lambda itself does it with the function's role, not the code"
NOT_BY_CODE = {
    "logs:CreateLogStream": PLATFORM, "logs:PutLogEvents": PLATFORM, "xray:PutTraceSegments": PLATFORM,
    "xray:PutTelemetryRecords": PLATFORM, "sqs:ReceiveMessage": PLATFORM, "sqs:DeleteMessage": PLATFORM,
    "sqs:GetQueueAttributes": PLATFORM,
}
RARE = json.load(open(__file__.replace("permissions.py", "granted-but-not-seen.json"), encoding="utf8"))


troubles = []


def hold(what, holds, seen):
    """A check that lets the others go on: one run tells every trouble."""
    print(("ok    " if holds else "WRONG ") + what + ("" if holds else f": {str(seen)[:3000]}"), flush=True)
    if not holds:
        troubles.append(what)


def role_of(function):
    return boto3.client("lambda").get_function_configuration(FunctionName=function)["Role"]


def documents_of(role_arn):
    iam, name = boto3.client("iam"), role_arn.rsplit("/", 1)[1]
    attached = iam.list_attached_role_policies(RoleName=name)["AttachedPolicies"]
    hold(f"{name[:40]} has no managed policy", attached == [], attached)
    names = iam.list_role_policies(RoleName=name)["PolicyNames"]
    return [iam.get_role_policy(RoleName=name, PolicyName=n)["PolicyDocument"] for n in names]


def as_list(one):
    return one if isinstance(one, list) else [one]


def table_call(action, body, arn):
    """The partitions a call touches, as IAM's LeadingKeys has them, with the table's or the index's ARN."""
    keys = lambda item: item["pk"]["S"]
    if "RequestItems" in body:
        (asked,) = body["RequestItems"].values()
        if action == "BatchGetItem":
            touched = [keys(k) for k in asked["Keys"]]
        else:
            touched = [keys(r["PutRequest"]["Item"] if "PutRequest" in r else r["DeleteRequest"]["Key"]) for r in asked]
        return arn, touched
    if action == "Query":
        index = body.get("IndexName")
        return (f"{arn}/index/{index}" if index else arn), [body["ExpressionAttributeValues"][":p"]["S"]]
    return arn, [keys(body.get("Key") or body["Item"])]


def needs_of(call, where):
    """(action, resource, partitions) of one recorded call: mostly one, a mail two."""
    target, path = call.get("target") or "", urllib.parse.unquote(call["path"].split("?")[0])
    if target.startswith("DynamoDB_"):
        action = target.split(".")[1]
        body = json.loads(call["body"])
        # A table that is not the deployment's is the scenario's own wrong setting.
        named = body.get("TableName") or next(iter(body["RequestItems"]))
        if named != where["table"].rsplit("/", 1)[1]:
            return []
        return [(f"dynamodb:{action}", *table_call(action, body, where["table"]))]
    if target.startswith("AmazonSQS."):
        action = target.split(".")[1].removesuffix("Batch")
        account, queue = json.loads(call["body"])["QueueUrl"].split("/")[-2:]
        return [(f"sqs:{action}", f"arn:aws:sqs:{where['region']}:{account}:{queue}", [])]
    if target.startswith("secretsmanager."):
        return [(f"secretsmanager:{target.split('.')[1]}", json.loads(call["body"])["SecretId"], [])]
    if path.startswith("/v2/email/outbound-emails"):
        body = json.loads(call["body"])
        address = re.search(r"[^\s<]+@([^\s>]+)", body["FromEmailAddress"])
        base = f"arn:aws:ses:{where['region']}:{where['account']}"
        return [
            ("ses:SendEmail", f"{base}:identity/{address[1]}", []),
            ("ses:SendEmail", f"{base}:configuration-set/{body['ConfigurationSetName']}", []),
        ]
    bucket = where["bucket"]
    key = path.removeprefix(f"/{bucket}").lstrip("/")
    if call["host"].startswith(bucket) or path.startswith(f"/{bucket}"):
        return [({"PUT": "s3:PutObject", "POST": "s3:PutObject", "GET": "s3:GetObject", "DELETE": "s3:DeleteObject"}[call["method"]], f"arn:aws:s3:::{bucket}/{key}", [])]
    raise SystemExit(f"a call nobody knows: {call}")


def judge(role, documents, where, action, resource, partitions):
    context = EvalContext(
        principal_arn=role, principal_type="AssumedRole", principal_account=where["account"], action=action,
        resource_arn=resource, region=where["region"], source_ip="127.0.0.1", secure_transport=True,
        service_context={"dynamodb:leadingkeys": partitions} if partitions else {},
    )
    return evaluate(context, [parse_policy_document(d) for d in documents]).decision


def hold_against(calls_file, service, also_signed=()):
    """`also_signed`: (function, action, resource) of what a function signed and somebody else then sent."""
    names = {service[f"{f}function"]: f for f in FUNCTIONS}
    web = boto3.client("lambda").get_function_configuration(FunctionName=service["webfunction"])
    variables = web["Environment"]["Variables"]
    account, region = web["FunctionArn"].split(":")[4], web["FunctionArn"].split(":")[3]
    where = {
        "account": account, "region": region, "bucket": variables["ARCHIVE_BUCKET"],
        "table": f"arn:aws:dynamodb:{region}:{account}:table/{variables['TABLE_NAME']}",
    }
    roles = {f: role_of(service[f"{f}function"]) for f in FUNCTIONS}
    hold("each function has a role of its own", len(set(roles.values())) == len(FUNCTIONS), roles)
    documents = {f: documents_of(roles[f]) for f in FUNCTIONS}
    may = lambda f, action, resource, partitions=(): judge(
        roles[f], documents[f], where, action, resource, list(partitions)
    )

    seen, denied, calls = Counter(), set(), 0
    for line in open(calls_file, encoding="utf8"):
        call = json.loads(line)
        if call["functionName"] not in names:
            continue
        calls += 1
        function = names[call["functionName"]]
        for action, resource, partitions in needs_of(call, where):
            seen[(function, action)] += 1
            decision = may(function, action, resource, partitions)
            if decision != "Allow":
                shown = tuple(sorted({p.split("#")[0] for p in partitions}))
                denied.add((function, action, resource.rsplit(":", 1)[1], shown, decision))
    for function, action, resource in also_signed:
        seen[(function, action)] += 1
        if may(function, action, resource) != "Allow":
            denied.add((function, action, resource, (), ""))
    for function in FUNCTIONS:
        done = ", ".join(f"{a} {n}" for (f, a), n in sorted(seen.items()) if f == function)
        print(f"      {function}: {done}")
    hold(f"{calls} recorded calls, none of them denied by the function's role", not denied, sorted(denied))
    hold("every function was seen to call", {f for f, _ in seen} == set(FUNCTIONS), seen)

    granted = {
        (f, a) for f in FUNCTIONS for d in documents[f] for s in as_list(d["Statement"]) if s["Effect"] == "Allow"
        for a in as_list(s["Action"])
    }
    unused = {g for g in granted if g not in seen and g[1] not in NOT_BY_CODE}
    reasons = {(f, a) for f, actions in RARE.items() for a in actions}
    hold("what is granted was used, or has a reason", unused <= reasons, sorted(unused - reasons))
    hold("no reason is stale", reasons <= granted, sorted(reasons - granted))
    print(f"      {len(granted)} grants: {len(granted & set(seen))} used, {len(unused)} with a reason, the rest Lambda's own")
    not_possible(may, where)
    check("the permissions are as they should be", not troubles, troubles)


def not_possible(may, where):
    table, uploads = where["table"], f"arn:aws:s3:::{where['bucket']}/uploads/a"
    never = [(f, a, table) for f in FUNCTIONS for a in ("dynamodb:Scan", "dynamodb:DeleteTable", "dynamodb:ExportTableToPointInTime")]
    never += [(f, a, uploads) for f in FUNCTIONS if f != "upkeep" for a in ("s3:DeleteObject", "s3:DeleteObjectVersion")]
    never += [("upkeep", "s3:DeleteObjectVersion", uploads), ("upkeep", "s3:DeleteObject", f"arn:aws:s3:::{where['bucket']}/direct/a")]
    never += [(f, "s3:GetObject", uploads) for f in ("compare", "notify", "upkeep", "export")]
    never += [("export", a, table, ["E#E-1"]) for a in ("dynamodb:PutItem", "dynamodb:UpdateItem", "dynamodb:DeleteItem")]
    never += [(f, "ses:SendEmail", f"arn:aws:ses:{where['region']}:{where['account']}:identity/example.org")
              for f in ("web", "intake", "compare", "upkeep", "export")]
    open_doors = [n for n in never if may(*n) == "Allow"]
    hold(f"{len(never)} things no function may do are refused", not open_doors, open_doors)
    for function, actions in (("web", ("DeleteItem", "BatchWriteItem")), ("notify", ("DeleteItem", "BatchWriteItem")), ("intake", ("DeleteItem",))):
        for action in actions:
            kept = [p for p in ("E#E-1", "S#S-1", "I#T-1") if may(function, f"dynamodb:{action}", table, [p]) != "Deny"]
            hold(f"{function} cannot {action} in a partition of records", not kept, kept)
            among = may(function, f"dynamodb:{action}", table, ["W#1", "E#E-1"])
            hold(f"{function} cannot {action} there among others", among == "Deny", among)
