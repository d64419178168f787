"""The same round over HTTP against `npm start`: tokens come from the key file, mail from the outbox, files go through the API.

Usage: local.py, in the repository's folder. Everything it makes is in one temporary folder, and goes at the end.
"""
import json
import os
import re
import subprocess
import tempfile

import steps
from service import caller, check

with tempfile.TemporaryDirectory() as folder:
    env = {**os.environ, "PORT": "0", "STAKELINE_DATA": folder, "STAKELINE_SAMPLE": "no", "STAKELINE_MAIL_HOLD_S": "2"}
    for name in ("NODE_OPTIONS", "AWS_ENDPOINT_URL"):
        env.pop(name, None)
    node = ["node", "--disable-warning=ExperimentalWarning"]
    running = subprocess.Popen([*node, "cdk/local/main.ts"], env=env, stdout=subprocess.PIPE, text=True)
    try:
        first = running.stdout.readline()
        address = re.search(r"http://\S+", first)
        check("the service says where it is", address is not None, first)
        call = caller(address[0].rstrip("/"))

        def token(role):
            command = [*node, "functions/cli/main.ts", "token", "--role", role]
            return subprocess.run(command, env=env, check=True, capture_output=True, text=True).stdout.strip()

        admin, crew, quality = token("admin"), token("field"), token("quality")

        def through_the_api(content):
            seen = call("POST", "/api/uploads?fileName=round.csv", crew, content, "text/csv")
            check("a file goes through the API", seen[0] == 202, seen)
            return json.loads(seen[1])["id"]

        def outbox():
            mails = []
            for folder_, _, names in os.walk(os.path.join(folder, "outbox")):
                mails += [open(os.path.join(folder_, n), encoding="utf8", errors="replace").read() for n in names]
            return "\n".join(mails)

        steps.strangers_are_refused(call)
        steps.a_round(call, admin, crew, quality, through_the_api, outbox)
    finally:
        running.terminate()
        status = running.wait(timeout=20)
    check("it stops when asked", status == 0, status)
