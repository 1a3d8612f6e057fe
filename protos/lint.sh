#!/usr/bin/env bash
# Lints the public contract. buf knows only google/protobuf/*, so the other imports are laid beside ours, out of the
# tree, from the restored packages. Needs: dotnet restore done, npm.
set -euo pipefail
cd "$(dirname "$0")"
packages="${NUGET_PACKAGES:-$(dotnet nuget locals global-packages --list | sed 's/^[^:]*: //')}"
version() { sed -n "s/.*Include=\"$1\" Version=\"\([^\"]*\)\".*/\1/p" ../Directory.Packages.props; }
common="$packages/google.api.commonprotos/$(version Google.Api.CommonProtos)/content/protos"
validate="$packages/protovalidate/$(version ProtoValidate)/content/proto"
[ -d "$common" ] && [ -d "$validate" ] || { echo "lint.sh: restore the solution first (dotnet restore)"; exit 2; }

[ -x node_modules/.bin/buf ] || npm ci --silent --no-audit --no-fund
scratch=obj/lint
rm -rf "$scratch" && mkdir -p "$scratch/imports/google"
cp -r "$common/google/api" "$common/google/rpc" "$scratch/imports/google/"
cp -r "$validate/buf" "$scratch/imports/"
cp -r reliability "$scratch/ours"
mkdir -p "$scratch/main" && mv "$scratch/ours" "$scratch/main/reliability"
sed -e 's#path: \.#path: main#' buf.yaml > "$scratch/buf.yaml"
sed -i '/- path: main/a\  - path: imports\n    lint:\n      ignore: [imports]' "$scratch/buf.yaml"
buf="$PWD/node_modules/.bin/buf"
(cd "$scratch" && "$buf" lint main && "$buf" format --diff --exit-code main)
echo "protos: lint and format clean"
