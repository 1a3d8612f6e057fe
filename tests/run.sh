#!/usr/bin/env bash
# Builds everything once, checks formatting and the contract, and runs every test project against real parts.
# The last line is "N passed, N failed". Ends 0 when all passed; 1 when a test or a check failed, no test ran or a test
# project is missing; 2 when something has to be installed first.
set -uo pipefail
cd "$(dirname "$0")/.."
# shellcheck source=../deploy/prerequisites.sh
. deploy/prerequisites.sh

need_sdk
need "PostgreSQL server" has_postgresql postgresql
need "A font for plots" has_fonts fontconfig fonts-dejavu-core
need "Node.js with npm" has_node nodejs npm

passed=0
failed=0
problems=()
results=$(mktemp -d)
trap 'rm -rf "$results"' EXIT

# step NAME COMMAND...: runs a check; a failure is noted and the rest goes on.
step() {
  local name=$1 start=$SECONDS
  shift
  if "$@" < /dev/null > "$results/log" 2>&1; then
    echo "$name: $((SECONDS - start)) s"
    return 0
  fi
  tail -n 60 "$results/log"
  echo "$name: FAILED"
  problems+=("$name")
  return 1
}

finish() {
  local problem
  for problem in "${problems[@]}"; do echo "failed: $problem"; done
  echo "$passed passed, $failed failed"
  [ "$failed" -eq 0 ] && [ "$passed" -gt 0 ] && [ "${#problems[@]}" -eq 0 ]
  exit
}

counter() { sed -n "s/.*<Counters[^>]* $1=\"\([0-9]*\)\".*/\1/p" "$2" | head -n 1; }

# Runs one test project and adds the counts that the runner itself wrote.
run_project() {
  local name=$1 start=$SECONDS trx="$results/$1.trx" program="tests/$1/bin/Release/net10.0/$1" status ran bad
  if [ ! -x "$program" ]; then
    echo "$name: not built"
    problems+=("$name was not built")
    return
  fi
  timeout --kill-after=30 1500 "$program" -noLogo -noColor -failSkips -reporter quiet -result-trx "$trx" < /dev/null 2>&1 \
    | tail -n 200
  status=${PIPESTATUS[0]}
  ran=$(counter passed "$trx" 2> /dev/null)
  bad=$(($(counter failed "$trx" 2> /dev/null || echo 0) + 0))
  if [ -z "$ran" ]; then
    echo "$name: no result"
    problems+=("$name gave no result (status $status)")
    return
  fi
  passed=$((passed + ran))
  failed=$((failed + bad))
  echo "$name: $ran passed, $bad failed, $((SECONDS - start)) s"
  [ $((ran + bad)) -gt 0 ] || problems+=("$name has no test")
  # Errors outside a test, such as a fixture that cannot be cleaned up, show in the status alone.
  [ "$status" -eq 0 ] || [ "$bad" -gt 0 ] || problems+=("$name ended with status $status")
}

step "restore" restore || finish
step "build" dotnet build Reliability.sln -c Release --no-restore --disable-build-servers -v quiet || finish
step "format" dotnet format Reliability.sln --no-restore --verify-no-changes
step "contract" protos/lint.sh

# Every project under tests/ that holds tests must be in the solution, and every one of the solution must run.
in_solution=$(dotnet sln Reliability.sln list | tr '\\' '/' | sed -n 's#^tests/\([^/]*\)/.*#\1#p' | sort)
for file in tests/*/*.csproj; do
  name=$(basename "$file" .csproj)
  grep -q 'Include="xunit.v3"' "$file" || continue
  if grep -qx "$name" <<< "$in_solution"; then
    run_project "$name"
  else
    problems+=("$name is not in the solution")
  fi
done
for name in $in_solution; do
  [ -f "tests/$name/$name.csproj" ] || problems+=("$name is in the solution and not in tests/")
done
finish
