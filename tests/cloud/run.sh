#!/usr/bin/env bash
# `npm run test:cloud`: deploys the real stacks with the CDK command line into an emulator that others wrote, on this machine only,
# and drives the deployed API; then the same round over HTTP against `npm start`. Everything it makes is in one temporary folder, and goes at the end.
set -euo pipefail
cd "$(dirname "$0")/../.."
work="$(mktemp -d)"
emulator=""
clean_up() {
  [ -n "$emulator" ] && kill "$emulator" 2>/dev/null || true
  [ -n "$emulator" ] && wait "$emulator" 2>/dev/null || true
  rm -rf "$work"
}
trap clean_up EXIT

# The emulator runs whatever node is first on PATH.
export PATH="$PWD/node_modules/node/bin:$PWD/node_modules/.bin:$PATH"
venv="${STAKELINE_CLOUD_VENV:-$work/venv}"
# Without `cryptography` the emulator cannot sign the tokens of its user pool.
[ -x "$venv/bin/ministack" ] || { python3 -m venv "$venv" && "$venv/bin/pip" install -q ministack==1.5.33 boto3==1.43.106 cfn-lint==1.58.0 cryptography==50.0.2; }

port="$(python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')"
export BIND_HOST=127.0.0.1 GATEWAY_PORT="$port" LAMBDA_EXECUTOR=local MINISTACK_HOST=localhost SFTP_ENABLED=0 IOT_MTLS_ENABLED=0
export AWS_ENDPOINT_URL="http://127.0.0.1:$port" AWS_ACCESS_KEY_ID=test AWS_SECRET_ACCESS_KEY=test
export AWS_REGION=eu-west-1 AWS_DEFAULT_REGION=eu-west-1 MINISTACK_REGION=eu-west-1 CDK_DISABLE_VERSION_CHECK=1
export CDK_DISABLE_CLI_TELEMETRY=true
# What the functions call is written down as they call it.
export STAKELINE_CALLS="$work/calls.ndjson"
NODE_OPTIONS="--import $PWD/tests/cloud/record-calls.mjs" "$venv/bin/ministack" >"$work/emulator.log" 2>&1 &
emulator=$!
for _ in $(seq 60); do
  python3 -c "import urllib.request as u; u.urlopen('$AWS_ENDPOINT_URL/_ministack/health')" 2>/dev/null && break
  sleep 0.5
done

out="$work/cdk.out"
cdk synth --quiet --output "$out" -c stakeline:mailHoldS=2
"$venv/bin/cfn-lint" --config-file tests/cloud/cfnlintrc.yaml "$out"/*.template.json
cdk bootstrap --app "$out" aws://000000000000/eu-west-1 >"$work/bootstrap.log" 2>&1 || { tail -30 "$work/bootstrap.log"; exit 1; }
cdk deploy --all --app "$out" --require-approval never --outputs-file "$work/outputs.json" >"$work/deploy.log" 2>&1 || { tail -60 "$work/deploy.log"; exit 1; }
"$venv/bin/python" tests/cloud/scenario.py "$work/outputs.json" || { tail -40 "$work/emulator.log"; exit 1; }
python3 tests/cloud/local.py
