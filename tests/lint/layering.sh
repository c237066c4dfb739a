#!/usr/bin/env bash
# An include must point down: model <- sim <- ui. Each foreign library is known to one file only.
set -u
failures=0
complain() {
    echo "layering: $*"
    failures=$((failures + 1))
}

# includes FOLDER: every include of the folder's sources as "file: target"
includes() {
    grep -HoE '^#include *[<"][^>"]+[>"]' "$1"/*.c "$1"/*.h "$1"/*.def 2> /dev/null | sed -E 's/#include *[<"]([^>"]+)[>"]/ \1/'
}

standard='(assert|ctype|errno|float|inttypes|limits|locale|math|signal|stdarg|stdbool|stddef|stdint|stdio|stdlib|string|time)\.h'
while IFS=: read -r file target; do
    target=${target# }
    case "$target" in
        model/*) ;;
        cvode/* | nvector/* | sundials/* | sunlinsol/* | sunmatrix/* | sunnonlinsol/*) ;;
        *) [[ "$target" =~ ^$standard$ ]] || complain "$file includes $target: model may use itself, C and SUNDIALS only" ;;
    esac
done < <(includes model)

while IFS=: read -r file target; do
    target=${target# }
    case "$target" in
        ui/* | SDL* | cairo* | fontconfig*) complain "$file includes $target: sim may not know the window" ;;
        cvode/* | nvector/* | sun*) complain "$file includes $target: only model may know SUNDIALS" ;;
    esac
done < <(includes sim)

# Foreign libraries: at most one source file each (headers never show them).
one_home() {
    local pattern=$1 folder=$2 files count
    files=$(grep -lE "^#include *[<\"]$pattern" "$folder"/*.c "$folder"/*.h 2> /dev/null)
    count=$(printf '%s' "$files" | grep -c .)
    [ "$count" -le 1 ] || complain "$pattern is included by $count files of $folder: ${files//$'\n'/ }"
    printf '%s\n' "$files" | grep -q '\.h$' && complain "$pattern stands in a header of $folder"
}
one_home 'cvode/' model
one_home 'yaml\.h' sim
one_home 'sqlite3\.h' sim
one_home 'archive(_entry)?\.h' sim
one_home 'nettle/' sim
one_home 'jansson\.h' sim
one_home 'edflib\.h' sim
one_home '(cairo/)?cairo' ui
one_home 'fontconfig/' ui
one_home '(SDL2/)?SDL_ttf' ui
found=$(grep -lE '^#include *[<"](SDL2/)?SDL' model/* sim/* 2> /dev/null)
[ -z "$found" ] || complain "SDL is included below the window: $found"

# No mutable file-scope variables below the window.
found=$(grep -nE '^(static )?(double|int|bool|char|size_t|uint[0-9]+_t|int[0-9]+_t|[A-Z][A-Za-z]+) \*?[a-z_0-9]+(\[[^]]*\])?( =.*)?;' \
    model/*.c sim/*.c 2> /dev/null | grep -v const)
[ -z "$found" ] || complain "variable at file scope: $found"

[ "$failures" -eq 0 ] && echo "layering: 0 failures"
exit "$((failures > 0))"
