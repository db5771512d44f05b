#!/usr/bin/env bash
# Run a command beside a PostgreSQL server of its own, in a temporary folder on a free port of
# the loopback. The command finds its address in SLACKWATER_TEST_POSTGRES.
set -euo pipefail

bin=$(ls -d /usr/lib/postgresql/*/bin 2>/dev/null | sort --version-sort | tail -1 || true)
if [ -z "$bin" ]; then
    echo "PostgreSQL is not installed; on Debian: apt-get install postgresql" >&2
    exit 1
fi

home=$(mktemp -d)
port=$(python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')

# PostgreSQL refuses to be run by root.
as_owner() { "$@"; }
if [ "$(id -u)" = 0 ]; then
    chown postgres "$home"
    as_owner() { (cd "$home" && setpriv --reuid postgres --regid postgres --clear-groups "$@"); }
fi

stop() {
    as_owner "$bin/pg_ctl" --pgdata "$home/data" --mode immediate --silent stop || true
    rm -rf "$home"
}
trap stop EXIT

as_owner "$bin/initdb" --pgdata "$home/data" --username slackwater --auth trust --encoding UTF8 \
    --locale C.UTF-8 --no-sync >"$home.log"
as_owner "$bin/pg_ctl" --pgdata "$home/data" --silent --wait --log "$home/data/log" \
    --options "-h 127.0.0.1 -p $port -k $home -c fsync=off -c max_connections=40" start
rm -f "$home.log"

SLACKWATER_TEST_POSTGRES="postgresql://slackwater@127.0.0.1:$port/postgres" "$@"
