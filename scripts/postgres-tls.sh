#!/usr/bin/env bash
# Starts a PostgreSQL server of its own that speaks TLS only, with a certificate made for it, and has the program move a
# bench there: with the authority's certificate it goes, with that of another authority, and without TLS, it does not.
#
#   scripts/postgres-tls.sh DATA       DATA is a data folder with something in it; it stays as it is
#
#   PANELWRIGHT   the program                                      (default: panelwright)
# Ends with 77 where a program that it needs is not there.
set -euo pipefail

program=$(realpath "$(command -v "${PANELWRIGHT:-panelwright}")")
data=$(realpath "$1")
bin=$(compgen -G '/usr/lib/postgresql/*/bin/initdb' | sort -V | tail -n 1 || true)
[[ -n $bin ]] && command -v openssl >/dev/null || { echo "no PostgreSQL or no openssl" >&2; exit 77; }
bin=$(dirname "$bin")
as_postgres() { if ((EUID == 0)); then runuser -u postgres -- "$@"; else "$@"; fi; }

scratch=$(mktemp -d)
chmod 755 "$scratch"
mkdir "$scratch/server"
((EUID != 0)) || chown postgres "$scratch/server"
cleanup() {
    as_postgres "$bin/pg_ctl" -D "$scratch/server/data" -m immediate stop >/dev/null 2>&1 || true
    rm -rf "$scratch"
}
trap cleanup EXIT

authority() {
    openssl req -x509 -newkey ec -pkeyopt ec_paramgen_curve:prime256v1 -nodes -days 2 -subj "/CN=$1" \
        -addext basicConstraints=critical,CA:TRUE -keyout "$scratch/$1.key" -out "$scratch/$1.crt" 2>/dev/null
}
authority shop
authority another
openssl req -newkey ec -pkeyopt ec_paramgen_curve:prime256v1 -nodes -subj /CN=localhost \
    -keyout "$scratch/server/server.key" -out "$scratch/server.csr" 2>/dev/null
printf 'subjectAltName=DNS:localhost\nbasicConstraints=critical,CA:FALSE\nextendedKeyUsage=serverAuth\n' >"$scratch/leaf.ext"
openssl x509 -req -in "$scratch/server.csr" -CA "$scratch/shop.crt" -CAkey "$scratch/shop.key" -CAcreateserial -days 2 \
    -extfile "$scratch/leaf.ext" -out "$scratch/server/server.crt" 2>/dev/null
((EUID != 0)) || chown postgres "$scratch/server/server.key" "$scratch/server/server.crt"
chmod 600 "$scratch/server/server.key"

as_postgres "$bin/initdb" -D "$scratch/server/data" -U panelwright -A trust -E UTF8 --locale=C >"$scratch/server.log"
printf 'hostssl all all 127.0.0.1/32 trust\nhostssl all all ::1/128 trust\nlocal all all trust\n' >"$scratch/hba"
as_postgres cp "$scratch/hba" "$scratch/server/data/pg_hba.conf"
port=$((20000 + RANDOM % 20000))
as_postgres "$bin/pg_ctl" -D "$scratch/server/data" -l "$scratch/server/log" -w \
    -o "-p $port -c listen_addresses=localhost -c unix_socket_directories='$scratch/server' -c fsync=off -c ssl=on \
        -c ssl_cert_file='$scratch/server/server.crt' -c ssl_key_file='$scratch/server/server.key'" start >/dev/null
"$bin/createdb" -h "$scratch/server" -p "$port" -U panelwright -T template0 shop

to="postgres://panelwright@localhost:$port/shop"
refused() {
    if "$program" transfer "$data" "$to?$1" >"$scratch/told" 2>&1; then
        echo "tls: $2 was let through" >&2
        exit 1
    fi
    echo "tls: $2 is refused: $(tail -n 1 "$scratch/told")"
}
refused "sslmode=verify-full&sslrootcert=$scratch/another.crt" "a server that another authority vouches for"
refused "sslmode=disable" "a line without TLS"
"$program" transfer "$data" "$to?sslmode=verify-full&sslrootcert=$scratch/shop.crt"
n=$("$bin/psql" -h "$scratch/server" -p "$port" -U panelwright -d shop -Atc 'SELECT COUNT(*) FROM facts')
((n > 0)) || { echo "tls: nothing arrived" >&2; exit 1; }
echo "tls: $n facts are there"
