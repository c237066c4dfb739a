#!/usr/bin/env bash
# Installs the Debian packages of the named groups (build, test) that are missing; says what is missing elsewhere.
set -euo pipefail
here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
wanted=()
for group in "$@"; do
    while read -r kind package _; do
        if [ "$kind" = "$group" ]; then wanted+=("$package"); fi
    done < <(grep -v '^#' "$here/packages.txt")
done

if ! command -v dpkg-query > /dev/null; then
    echo "evenkeel: this is not a Debian system, so nothing is installed by itself." >&2
    echo "evenkeel: needed, by Debian 12's names: ${wanted[*]}" >&2
    exit 0
fi

missing=()
for package in "${wanted[@]}"; do
    status=$(dpkg-query -W -f='${db:Status-Status}' "$package" 2> /dev/null || true)
    if [ "$status" != installed ]; then missing+=("$package"); fi
done
if [ "${#missing[@]}" -eq 0 ]; then exit 0; fi

echo "Installing: ${missing[*]}"
as_root=()
if [ "$(id -u)" -ne 0 ]; then
    if ! command -v sudo > /dev/null; then
        echo "evenkeel: these packages are missing and there is no sudo; as root: apt-get install ${missing[*]}" >&2
        exit 1
    fi
    as_root=(sudo)
fi
export DEBIAN_FRONTEND=noninteractive
"${as_root[@]}" apt-get update -qq
"${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" > /dev/null
