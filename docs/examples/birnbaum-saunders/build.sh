#!/usr/bin/env bash
# The steps of docs/plug-ins.md: packages from this clone into a feed, the battery, and the plug-in's folder as the service wants it.
# BUILT=1 takes the clone's projects as they are built already.
set -euo pipefail
cd "$(dirname "$0")"
# Nothing that is started here stays behind.
export MSBUILDDISABLENODEREUSE=1 UseSharedCompilation=false

rm -rf out
mkdir -p out/feed
for project in Reliability.Engine.Abstractions Reliability.Engine Reliability.Engine.Conformance; do
  dotnet pack "../../../src/$project" -c Release ${BUILT:+--no-build} -o out/feed -v quiet
done

dotnet build BirnbaumSaunders.Tests -c Release -v quiet
BirnbaumSaunders.Tests/bin/Release/net10.0/BirnbaumSaunders.Tests -noLogo -noColor

dotnet publish BirnbaumSaunders -c Release -v quiet -o out/plugins/fatigue
rm -f out/plugins/fatigue/*.deps.json
ls out/plugins/fatigue
