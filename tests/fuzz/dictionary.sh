#!/usr/bin/env bash
# The words of the case language as a dictionary for the fuzzers, from the program's own tables.
# Usage: dictionary.sh EVENKEEL > case.dict      fuzz_case -dict=case.dict tests/fuzz/corpus/case scenarios
set -euo pipefail
program=$1
{
    # last part of each key, with the colon that makes it one; and the words of its choices
    "$program" list keys --csv | tail -n +2 | while IFS=, read -r key _; do
        key=${key##*.}
        printf '%s: \n' "${key%\[\]}"
    done
    "$program" list keys --json-schema | grep -oE '"enum":\["[^]]*\]' | grep -oE '"[A-Za-z0-9_]+"' | tr -d '"' | grep -v '^enum$'
    for table in observables display deeds orders acts; do
        "$program" list "$table" --csv | tail -n +2 | cut -d, -f1
    done
    printf '%s\n' ' and ' ' or ' 'not ' ' < ' ' >= ' '20min' '1h30min' '- ' '[8min, 20min]' 'shown_'
} | LC_ALL=C sort -u | while IFS= read -r word; do
    printf '"%s"\n' "$word"
done
