#!/usr/bin/env bash
# Words that must not stand in the tree, tabs in sources, trailing blanks, files that grew too long.
set -u
failures=0
complain() {
    printf 'wording: %s\n' "$*"
    failures=$((failures + 1))
}
files=$(git ls-files 2> /dev/null | grep -E '\.(c|h|def|md|yaml|txt|sh)$|^(start|check)$|^\.ci/run$' || true)
[ -n "$files" ] || files=$(find model sim ui scenarios tests assets -type f -name '*.[ch]')

hits=$(printf '%s\n' $files | grep -v '^tests/lint/' | xargs grep -nIE '\b(TODO|FIXME|XXX|HACK)\b' 2> /dev/null)
[ -z "$hits" ] || complain "unfinished work is marked: $hits"
hits=$(printf '%s\n' $files | xargs grep -nIE '[[:blank:]]+$' 2> /dev/null | head -5)
[ -z "$hits" ] || complain "trailing blanks: $hits"
hits=$(printf '%s\n' $files | grep -E '\.(c|h|def)$' | xargs grep -nP '\t' 2> /dev/null | head -5)
[ -z "$hits" ] || complain "tabs in a source: $hits"
hits=$(printf '%s\n' $files | grep -E '^(model|sim)/.*\.[ch]$' | xargs grep -nE '\brand\(|\bsrand\(|\btime\(NULL\)' 2> /dev/null)
[ -z "$hits" ] || complain "the physics must draw from the seeded generator: $hits"
while read -r count file; do
    if [ "$file" != total ] && [ "$count" -gt 700 ]; then complain "$file has $count lines; think of a split at 600"; fi
done < <(printf '%s\n' $files | grep -E '^(model|sim|ui)/.*\.[ch]$' | xargs wc -l)
[ "$failures" -eq 0 ] && echo "wording: 0 failures"
exit "$((failures > 0))"
