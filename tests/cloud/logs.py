"""What the functions wrote down: one id from a submission to its mail, counts that become metrics, and nobody's name or address."""
import json

import boto3

from service import check, until

FUNCTIONS = ("web", "intake", "compare", "notify", "upkeep", "export")


def texts_of(service):
    """Every line of every function's log, by function."""
    found = {}
    for name in FUNCTIONS:
        group = boto3.client("lambda").get_function_configuration(FunctionName=service[f"{name}function"])["LoggingConfig"]["LogGroup"]
        pages = boto3.client("logs").get_paginator("filter_log_events").paginate(logGroupName=group)
        found[name] = [e["message"] for page in pages for e in page["events"]]
    return found


def lines_of(service):
    """The functions' own lines, by function; others are the platform's."""
    return {f: [json.loads(t) for t in texts if t.startswith('{"at"')] for f, texts in texts_of(service).items()}


def ids_of(lines, name, message):
    """The submissions that this function's lines of these words are about."""
    return {i for line in lines[name] if line.get("message") == message for i in (line["correlationId"], *line.get("alsoFor", []))}


def chain(lines):
    """Ids that go the whole way from what was handed in, over its comparison, to a mail. A mail that tells the news of several
    submissions goes by the last of them, so not every submission has one of its own."""
    ids = lambda name, message: ids_of(lines, name, message)
    handed_in = ids("web", "survey handed in") | ids("intake", "upload read")
    return handed_in & ids("compare", "compared") & ids("notify", "told")


def tell_the_whole_way(service, secrets):
    lines = until(lambda: lines_of(service), lambda seen: chain(seen) and seen["intake"], 60)
    check("one id goes from what was handed in over its comparison to the mail", chain(lines), {f: lines[f][-3:] for f in lines})
    ids = lambda name, message: ids_of(lines, name, message)
    stored = {line["correlationId"] for line in lines["web"] if line.get("outcome") == "stored"}
    check("every survey is compared under the id it came with", stored <= ids("compare", "compared"), (stored, lines["compare"]))
    check("and a file's surveys under its", ids("intake", "upload read") & ids("compare", "compared"), lines["intake"])
    every = [(f, line) for f in lines for line in lines[f]]
    odd = [(f, line) for f, line in every if not {"at", "function", "version", "level", "message"} <= line.keys()]
    check(f"{len(every)} log lines say when, which function and version, how grave and what", every and not odd, odd)
    counted = {
        m["Name"] for _, line in every for b in line.get("_aws", {}).get("CloudWatchMetrics", []) for m in b["Metrics"] if m["Name"] in line
    }
    wanted = {"SurveysStored", "SurveysRepeated", "SurveysHeld", "ElectrodesCompared", "FindingsNew", "MailsSent", "StaleMarks"}
    check("surveys, findings, mails and the sweep are counted", wanted <= counted, counted)
    told = [(f, text) for f, texts in texts_of(service).items() for text in texts for s in secrets if s in text]
    check("no line has a person's address or a token", not told, told)
