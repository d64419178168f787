#!/usr/bin/env bash
# `npm run test:ledger-elsewhere [-- FILE…]`: holds the ledger's contract against a DynamoDB that others wrote (moto, as a server on
# this machine only), beside the embedded one that `npm test` uses. Its virtual environment is kept under node_modules/.cache.
set -euo pipefail
cd "$(dirname "$0")/../.."
moto=5.1.22
venv="node_modules/.cache/moto/venv"
log="$(mktemp)"
server=""
clean_up() {
  [ -n "$server" ] && kill "$server" 2>/dev/null || true
  [ -n "$server" ] && wait "$server" 2>/dev/null || true
  rm -f "$log"
}
trap clean_up EXIT

[ "$("$venv/bin/python" -c 'from importlib.metadata import version; print(version("moto"))' 2>/dev/null)" = "$moto" ] || {
  python3 -m venv "$venv"
  "$venv/bin/pip" install -q "moto[server]==$moto"
}

port="$(python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')"
# Without threads: moto's own server takes requests side by side, and then two conditional writes of one item can both succeed.
"$venv/bin/python" -c 'import sys
from moto.server import DomainDispatcherApplication, create_backend_app
from werkzeug.serving import run_simple
run_simple("127.0.0.1", int(sys.argv[1]), DomainDispatcherApplication(create_backend_app), threaded=False)' "$port" >"$log" 2>&1 &
server=$!
endpoint="http://127.0.0.1:$port"
up=""
for _ in $(seq 60); do
  if python3 -c "import urllib.request as u; u.urlopen('$endpoint/moto-api/data.json')" 2>/dev/null; then
    up=yes
    break
  fi
  sleep 0.5
done
[ -n "$up" ] || { cat "$log"; exit 1; }

export STAKELINE_TEST_DYNAMODB="$endpoint" AWS_REGION=eu-west-1 AWS_ACCESS_KEY_ID=test AWS_SECRET_ACCESS_KEY=test
# Left out: how many bytes an item has, where moto counts by a rule of its own and refuses what DynamoDB's rule lets through. What
# cost.test.ts counts says nothing here, because moto tells no true capacity units; it is run for what it stores.
left_out='^(?!.*is never found out by the table itself)'
files=("$@")
[ "${#files[@]}" -gt 0 ] || files=(tests/ledger)
npx vitest run --no-file-parallelism --testTimeout=60000 -t "$left_out" "${files[@]}"
