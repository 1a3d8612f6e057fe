#!/usr/bin/env bash
# Builds everything once, checks formatting and the contract, and runs every test project against real parts.
# The last line is "N passed, N failed". Ends 0 when all passed; 1 when a test or a check failed, no test ran or a test
# project is missing; 2 when something has to be installed first.
# The longest project mostly waits, so it runs beside the checks and the other projects. Nothing that is started here
# stays behind.
set -uo pipefail
cd "$(dirname "$0")/.."
# shellcheck source=../deploy/prerequisites.sh
. deploy/prerequisites.sh

need_sdk
need "PostgreSQL server" has_postgresql postgresql
need "A font for plots" has_fonts fontconfig fonts-dejavu-core
need "Node.js with npm" has_node nodejs npm
need "gRPC for Python, for the example in docs" has_python_grpc python3-grpcio python3-protobuf protobuf-compiler protobuf-compiler-grpc

longest=Reliability.EndToEnd
results=$(mktemp -d)
compiler="reliability-$$"
: > "$results/problems"
trap clean_up EXIT
trap 'exit 143' INT TERM

clean_up() {
  local file
  # shellcheck disable=SC2046 # one word a job
  kill -TERM $(jobs -p) 2> /dev/null
  for file in "$results"/*.pid; do
    [ -f "$file" ] && kill -TERM "$(< "$file")" 2> /dev/null
  done
  stop_compiler
  rm -rf "$results"
}

# Ends the compiler server of this run, which is told from others by its name.
stop_compiler() {
  local folder
  for folder in /proc/[0-9]*; do
    if tr '\0' '\n' 2> /dev/null < "$folder/cmdline" | grep -qx -- "-pipename:$compiler"; then
      kill -TERM "${folder#/proc/}" 2> /dev/null
    fi
  done
  rm -f "${TMPDIR:-/tmp}/$compiler"
}

problem() { echo "$1" >> "$results/problems"; }

# supervised NAME COMMAND...: runs a command that reads nothing, its output in NAME.log, and gives its status.
supervised() {
  local name=$1 status
  shift
  "$@" < /dev/null > "$results/$name.log" 2>&1 &
  echo $! > "$results/$name.pid"
  wait $!
  status=$?
  rm -f "$results/$name.pid"
  return "$status"
}

# step NAME COMMAND...: runs a check; a failure is noted and the rest goes on.
step() {
  local name=$1 start=$SECONDS
  if supervised "$@"; then
    echo "$name: $((SECONDS - start)) s"
    return 0
  fi
  printf '%s\n' "$(tail -n 60 "$results/$name.log")" "$name: FAILED"
  problem "$name"
  return 1
}

counter() { sed -n "s/.*<Counters[^>]* $1=\"\([0-9]*\)\".*/\1/p" "$2" 2> /dev/null | head -n 1; }

# Names what failed and says why in a few lines each, so that the end of a long log says it.
failed_tests() {
  local trx
  for trx in "$results"/*.trx; do
    [ -f "$trx" ] || continue
    # shellcheck disable=SC2016 # for perl
    perl -CS -0777 -ne '
      while (m{<UnitTestResult\b([^>]*\boutcome="Failed"[^>]*)>(.*?)</UnitTestResult>}gs) {
        my ($head, $body) = ($1, $2);
        my ($name) = $head =~ /\btestName="([^"]*)"/;
        my ($message) = $body =~ m{<Message>(.*?)</Message>}s;
        my @lines = grep { /\S/ } split /\n/, $message // "";
        s/&lt;/</g, s/&gt;/>/g, s/&quot;/"/g, s/&#x?[0-9A-Fa-f]+;/ /g, s/&amp;/&/g for ($name, @lines);
        splice @lines, 12 if @lines > 12;
        print "failed: $name\n", map { "  " . substr($_, 0, 400) . "\n" } @lines;
      }' "$trx"
  done
}

# Runs one test project; the counts are those that the runner itself wrote.
run_project() {
  local name=$1 start=$SECONDS trx="$results/$1.trx" program="tests/$1/bin/Release/net10.0/$1" status ran bad
  if [ ! -x "$program" ]; then
    problem "$name was not built"
    return
  fi
  supervised "$name" timeout --kill-after=30 1500 \
    "$program" -noLogo -noColor -failSkips -reporter quiet -result-trx "$trx"
  status=$?
  ran=$(counter passed "$trx")
  bad=$(counter failed "$trx")
  printf '%s\n' "$(tail -n 200 "$results/$name.log")" \
    "$name: ${ran:-no result} passed, ${bad:-no result} failed, $((SECONDS - start)) s" | sed '/^$/d'
  if [ -z "$ran" ] || [ -z "$bad" ]; then
    problem "$name gave no result (status $status)"
    return
  fi
  [ $((ran + bad)) -gt 0 ] || problem "$name has no test"
  # Errors outside a test, such as a fixture that cannot be cleaned up, show in the status alone.
  [ "$status" -eq 0 ] || [ "$bad" -gt 0 ] || problem "$name ended with status $status"
}

finish() {
  local trx passed=0 failed=0
  for trx in "$results"/*.trx; do
    [ -f "$trx" ] || continue
    passed=$((passed + $(counter passed "$trx") + 0))
    failed=$((failed + $(counter failed "$trx") + 0))
  done
  failed_tests
  sed 's/^/failed: /' "$results/problems"
  echo "$passed passed, $failed failed"
  [ "$failed" -eq 0 ] && [ "$passed" -gt 0 ] && [ ! -s "$results/problems" ]
  exit
}

step restore restore || finish
# One compiler for all projects takes half the time of a compiler a project.
step build dotnet build Reliability.sln -c Release --no-restore -v quiet -p:UseSharedCompilation=true \
  -p:SharedCompilationId="$compiler" || finish
stop_compiler

# Every project under tests/ that holds tests must be in the solution, and every one of the solution must run.
in_solution=$(dotnet sln Reliability.sln list < /dev/null | tr '\\' '/' | sed -n 's#^tests/\([^/]*\)/.*#\1#p' | sort)
for name in $in_solution; do
  [ -f "tests/$name/$name.csproj" ] || problem "$name is in the solution and not in tests/"
done
to_run=()
for file in tests/*/*.csproj; do
  name=$(basename "$file" .csproj)
  grep -q 'Include="xunit.v3"' "$file" || continue
  if grep -qx "$name" <<< "$in_solution"; then to_run+=("$name"); else problem "$name is not in the solution"; fi
done

# It starts a hundred short-lived services, which end before profiles of their code pay.
case " ${to_run[*]} " in *" $longest "*) DOTNET_TieredPGO=0 run_project "$longest" & ;; esac
step contract protos/lint.sh
# Style and names are checked by the compiler (.editorconfig, EnforceCodeStyleInBuild); white space, order of usings and line ends here.
step format dotnet format whitespace . --folder --verify-no-changes
for name in "${to_run[@]}"; do [ "$name" = "$longest" ] || run_project "$name"; done
wait
finish
