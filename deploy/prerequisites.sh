# Sourced by demo.sh and the test script: what the machine must have besides the .NET SDK and git.
# Installing counts as download time; seconds spent on it add up in DOWNLOAD_SECONDS.

export DOTNET_CLI_TELEMETRY_OPTOUT=1 DOTNET_NOLOGO=1 DOTNET_SKIP_FIRST_TIME_EXPERIENCE=1
export DOTNET_CLI_UI_LANGUAGE=en DEBIAN_FRONTEND=noninteractive
# Nothing of a build stays running behind it.
export MSBUILDDISABLENODEREUSE=1 DOTNET_CLI_USE_MSBUILD_SERVER=0
DOWNLOAD_SECONDS=0

has_sdk() { command -v dotnet > /dev/null && dotnet --version > /dev/null 2>&1; }

has_postgresql() {
  local folder
  command -v initdb > /dev/null && command -v postgres > /dev/null && return 0
  for folder in /usr/lib/postgresql/*/bin; do
    [ -x "$folder/initdb" ] && [ -x "$folder/postgres" ] && return 0
  done
  return 1
}

has_fonts() { command -v fc-list > /dev/null && fc-list 2> /dev/null | grep -q .; }

has_node() { command -v node > /dev/null && command -v npm > /dev/null; }

has_python_grpc() {
  command -v protoc > /dev/null && command -v grpc_python_plugin > /dev/null && /usr/bin/python3 -c 'import grpc, google.protobuf' 2> /dev/null
}

# need NAME CHECK PACKAGE...: runs CHECK; when it fails, installs the Debian packages as root, or says which are missing
# and ends with status 2.
need() {
  local name=$1 check=$2 start=$SECONDS
  shift 2
  "$check" && return 0
  if [ "$(id -u)" != 0 ]; then
    echo "$name is missing. Install the package(s) $* (for example: sudo apt-get install $*) and run this again." >&2
    exit 2
  fi
  if ! command -v apt-get > /dev/null; then
    echo "$name is missing and there is no apt-get here. Install it by other means (Debian calls it: $*)." >&2
    exit 2
  fi
  echo "installing $name ($*)"
  if ! { apt-get update -qq && apt-get install -y -qq --no-install-recommends "$@"; } < /dev/null > /dev/null 2>&1 \
    || ! "$check"; then
    echo "$name could not be installed. Try: apt-get install $*" >&2
    exit 2
  fi
  DOWNLOAD_SECONDS=$((DOWNLOAD_SECONDS + SECONDS - start))
}

need_sdk() {
  has_sdk && return 0
  echo "The .NET SDK named in global.json is missing. Install it and run this again." >&2
  exit 2
}

# Restores exactly what the lock files say.
restore() {
  local start=$SECONDS
  dotnet restore Reliability.sln --locked-mode --disable-build-servers -v quiet < /dev/null || return 1
  DOWNLOAD_SECONDS=$((DOWNLOAD_SECONDS + SECONDS - start))
}
