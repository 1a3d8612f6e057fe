#!/usr/bin/env bash
# Makes the Python classes of the contract in generated/. Needs protoc with the gRPC plug-in for Python (Debian: protobuf-compiler-grpc).
set -euo pipefail
cd "$(dirname "$0")"
protos=${1:-../../../protos}
out=${2:-generated}
mkdir -p "$out"
protoc -I "$protos" --python_out="$out" --grpc_python_out="$out" \
  --plugin=protoc-gen-grpc_python="$(command -v grpc_python_plugin)" "$protos"/reliability/plugin/v1/*.proto
