"""A message that cannot be handled, and messages that failed while a function was wrongly set up: dead letters, and back again."""
import time

import boto3

from service import check, until

sqs = boto3.client("sqs")
functions = boto3.client("lambda")


def waiting(url):
    name = "ApproximateNumberOfMessages"
    return int(sqs.get_queue_attributes(QueueUrl=url, AttributeNames=[name])["Attributes"][name])


def visible_after(url, seconds):
    sqs.set_queue_attributes(QueueUrl=url, Attributes={"VisibilityTimeout": str(seconds)})


def take(url):
    return sqs.receive_message(QueueUrl=url, MaxNumberOfMessages=10, WaitTimeSeconds=1).get("Messages", [])


def set_variable(function, name, value):
    """Changes one setting of a function and gives its value before."""
    variables = functions.get_function_configuration(FunctionName=function)["Environment"]["Variables"]
    functions.update_function_configuration(FunctionName=function, Environment={"Variables": {**variables, name: value}})
    functions.get_waiter("function_updated_v2").wait(FunctionName=function)
    return variables[name]


def nonsense_ends_in_dead_letters(service):
    queue, dead = service["notifyqueueurl"], service["notifydeadlettersurl"]
    visible_after(queue, 1)
    sqs.send_message(QueueUrl=queue, MessageBody="not JSON at all")
    until(lambda: waiting(dead), lambda n: n == 1)
    visible_after(queue, 360)
    letters = take(dead)
    check("a message nobody understands is a dead letter after its tries", [m["Body"] for m in letters] == ["not JSON at all"], letters)
    for m in letters:
        sqs.delete_message(QueueUrl=dead, ReceiptHandle=m["ReceiptHandle"])


def redrive_mends(service, hand_in_file, state_of):
    """Intake loses its table; a file's message dies; the table is set again and the letter sent back, as the console's redrive does."""
    queue, dead, function = service["intakequeueurl"], service["intakedeadlettersurl"], service["intakefunction"]
    visible_after(queue, 1)
    table = set_variable(function, "TABLE_NAME", "no-such-table")
    try:
        upload = hand_in_file()
        until(lambda: waiting(dead), lambda n: n == 1)
        check("a file handed in while intake is wrongly set up waits as a dead letter", waiting(dead) == 1, waiting(dead))
    finally:
        set_variable(function, "TABLE_NAME", table)
        visible_after(queue, 5400)
    time.sleep(1)
    for m in take(dead):
        sqs.send_message(QueueUrl=queue, MessageBody=m["Body"])
        sqs.delete_message(QueueUrl=dead, ReceiptHandle=m["ReceiptHandle"])
    told = state_of(upload)
    check("mended and redriven, it is read", told.get("state") == "done", told)
