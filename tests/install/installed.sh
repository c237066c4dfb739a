#!/usr/bin/env bash
# Installs the build into an empty folder and uses it from there: installed.sh BUILD_DIR
set -euo pipefail
build=$1
to=$(mktemp -d)
trap 'rm -rf "$to"' EXIT
fail() {
    echo "installed: $*" >&2
    exit 1
}

cmake --install "$build" --prefix "$to" > /dev/null
program=$to/bin/evenkeel
cd "$to" # away from the source tree: the cases must be found beside the program
"$program" list cases | grep -q speed-titration || fail "the cases are not found beside the program"
"$program" run speed-titration --until 1min --csv - | head -1 | grep -q '^time_s,' || fail "a case does not run"

# every command and option stands in the manual page and in the completion
page=$(zcat share/man/man1/evenkeel.1.gz | sed 's/\\-/-/g')
completion=share/bash-completion/completions/evenkeel
bash -n "$completion" || fail "the completion is no bash"
commands=$("$program" --help | sed -n 's/^  evenkeel \([a-z]\+\).*/\1/p' | sort -u)
[ "$(wc -w <<< "$commands")" -ge 8 ] || fail "the help lists too few commands"
for command in $commands; do
    grep -qF ".SS evenkeel $command" <<< "$page" || fail "the manual page lacks $command"
    grep -qF "    $command) options=" "$completion" || fail "the completion lacks $command"
    for option in $("$program" "$command" --help | sed -n 's/^  --\([a-z-]\+\).*/\1/p'); do
        grep -qF -- "--$option" <<< "$page" || fail "the manual page lacks --$option of $command"
        grep -F "    $command) options=" "$completion" | grep -qF -- "--$option" || fail "the completion lacks --$option of $command"
    done
done
# shellcheck source=/dev/null
offered=$(source "$completion"; COMP_WORDS=(evenkeel ram); COMP_CWORD=1; _evenkeel; echo "${COMPREPLY[*]}")
[ "$offered" = ramp ] || fail "'evenkeel ram' completes to '$offered'"
