#!/usr/bin/env bash
# Shows the whole job on invented data: starts the service on a private PostgreSQL of its own, posts demo-data through
# the public API, and prints what the service answers beside the stated truth.
#
#   ./deploy/demo.sh          leaves the service running and prints its addresses
#   ./deploy/demo.sh --once   stops it again; ends 0 when every step worked
#   --data DIR                keeps data and log in DIR instead of the usual folder
#
# Without --once the folder is /var/lib/reliability-demo as root, else reliability-demo in the user's data folder: ONE demo at a time uses
# it. A new demo stops the service of an earlier one in the same folder and deletes the folder. With --once a temporary one is used.
# Where 7080 or 7081 is taken by another program, free ports are picked and printed.
#
# Ends 1 when a step failed (with the end of the service's log), 2 when something has to be installed first.
set -euo pipefail
started_in=$PWD
cd "$(dirname "$0")/.."
# shellcheck source=prerequisites.sh
. deploy/prerequisites.sh

once=false
chosen=""
while [ $# -gt 0 ]; do
  case "$1" in
    --once) once=true ;;
    --data)
      chosen="${2:-}"
      [ -n "$chosen" ] || { echo "--data needs a folder" >&2; exit 2; }
      # As seen from where it was called.
      [ "${chosen#/}" != "$chosen" ] || chosen="$started_in/$chosen"
      shift
      ;;
    *)
      [ "$1" = --help ] && exec sed -n '2,/^set /{/^#/s/^# \{0,1\}//p}' deploy/demo.sh
      echo "usage: deploy/demo.sh [--once] [--data DIR]; --help tells more" >&2
      exit 2
      ;;
  esac
  shift
done

if [ -n "$chosen" ]; then
  # It is deleted before the start: nothing but an earlier demo may be in it.
  if [ -d "$chosen" ] && [ -n "$(ls -A "$chosen")" ] && [ ! -f "$chosen/service.pid" ]; then
    echo "--data $chosen: holds something that no demo has put there; give another folder or an empty one" >&2
    exit 2
  fi
  folder=$chosen
elif $once; then
  folder=$(mktemp -d)
elif [ "$(id -u)" = 0 ]; then
  folder=/var/lib/reliability-demo
else
  folder="${XDG_DATA_HOME:-$HOME/.local/share}/reliability-demo"
fi
log="$folder/service.log"
service_pid=""
keep=false

cli() { dotnet src/Reliability.Cli/bin/Release/net10.0/reliability.dll "$@" < /dev/null; }
demo_data() { dotnet demo-data/Generator/bin/Release/net10.0/Reliability.DemoData.dll "$@" < /dev/null; }

is_service() { tr '\0' ' ' 2> /dev/null < "/proc/$1/cmdline" | grep -q Reliability.Service; }

# Asks a process to end, and waits for it; PostgreSQL goes with it.
stop_service() {
  local pid=$1 tries
  kill -TERM "$pid" 2> /dev/null || return 0
  for ((tries = 0; tries < 300; tries++)); do
    kill -0 "$pid" 2> /dev/null || return 0
    sleep 0.1
  done
  kill -KILL "$pid" 2> /dev/null || true
}

at_exit() {
  local status=$?
  trap - EXIT
  if [ "$status" -ne 0 ] && [ "$status" -ne 2 ] && [ -f "$log" ]; then
    echo "The demo failed. The end of the service's log:" >&2
    tail -n 40 "$log" >&2
  fi
  if [ -n "$service_pid" ] && ! $keep; then stop_service "$service_pid"; fi
  if $once; then rm -rf "$folder"; fi
  exit "$status"
}
trap at_exit EXIT
trap 'exit 130' INT TERM

port_taken() { (exec 3<> "/dev/tcp/127.0.0.1/$1") 2> /dev/null; }

# The wanted port, or a free one when it is taken.
free_port() {
  local port=$1
  while port_taken "$port"; do port=$((20000 + RANDOM % 20000)); done
  echo "$port"
}

# The status line's code of a GET, without any program of its own.
http_status() {
  local code
  exec 3<> "/dev/tcp/127.0.0.1/$1" || return 1
  printf 'GET %s HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n' "$2" >&3
  read -r -t 10 _ code _ <&3 || code=""
  exec 3>&-
  echo "$code"
}

wait_until_ready() {
  local deadline=$((SECONDS + 120))
  while [ "$(http_status "$http_port" /healthz/ready 2> /dev/null)" != 200 ]; do
    if ! kill -0 "$service_pid" 2> /dev/null; then
      echo "The service ended before it was ready." >&2
      return 1
    fi
    if [ "$SECONDS" -ge "$deadline" ]; then
      echo "The service was not ready within two minutes." >&2
      return 1
    fi
    sleep 0.2
  done
}

need_sdk
need "PostgreSQL server" has_postgresql postgresql
need "A font for plots" has_fonts fontconfig fonts-dejavu-core

echo "building"
restore
for project in src/Reliability.Service src/Reliability.Cli demo-data/Generator; do
  dotnet build "$project" -c Release --no-restore --disable-build-servers -v quiet -clp:ErrorsOnly < /dev/null
done

if [ -f "$folder/service.pid" ] && is_service "$(cat "$folder/service.pid")"; then
  echo "stopping the service of an earlier demo"
  stop_service "$(cat "$folder/service.pid")"
fi
rm -rf "$folder"
mkdir -p "$folder/data"
# PostgreSQL does not run as root: its own user must get through to its folder.
chmod 711 "$folder" "$folder/data"

grpc_port=$(free_port 7080)
http_port=$(free_port 7081)
while [ "$http_port" = "$grpc_port" ]; do http_port=$(free_port "$((http_port + 1))"); done
echo "starting the service"
start=$SECONDS
setsid nohup dotnet src/Reliability.Service/bin/Release/net10.0/Reliability.Service.dll \
  --contentRoot src/Reliability.Service \
  --Endpoints:Grpc "http://127.0.0.1:$grpc_port" --Endpoints:Http "http://127.0.0.1:$http_port" \
  --DataDirectory "$folder/data" < /dev/null > "$log" 2>&1 &
service_pid=$!
echo "$service_pid" > "$folder/service.pid"
wait_until_ready
echo "ready after $((SECONDS - start)) s"

echo
echo "posting demo-data through the public API"
address="http://127.0.0.1:$grpc_port"
start=$SECONDS
cli --address "$address" models create demo-data/module-models.json
cli --address "$address" post demo-data/lives-*.csv demo-data/events-*.jsonl
echo "posted in $((SECONDS - start)) s"

echo
demo_data report --address "$address"

echo
echo "Took $((SECONDS - DOWNLOAD_SECONDS)) s without downloads ($DOWNLOAD_SECONDS s for them), the build included."
if ! $once; then
  keep=true
  echo
  echo "The service goes on at"
  echo "  gRPC  $address"
  echo "  HTTP  http://127.0.0.1:$http_port"
  [ "$grpc_port" = 7080 ] || echo "The usual port was taken. For deploy/reliability: export RELIABILITY_ADDRESS=$address"
  echo "Its data and its log are in $folder. Stop it with: kill $service_pid"
fi
