#!/usr/bin/env bash
# Every line of the dictionary is one that a fuzzer reads, and the words of the tables are in it.
set -euo pipefail
words=$(bash "$(dirname "$0")/dictionary.sh" "$1")
if grep -vE '^"[ A-Za-z0-9_:<>=,.[-]+\]?"$' <<< "$words"; then
    echo "lines that are no entries of a dictionary"
    exit 1
fi
for word in 'timeline: ' 'instead_of: ' bleed_clot_ra_ml_h clot_right four_chamber art_mean_mmhg call_right shown_art_mean_mmhg; do
    grep -qxF "\"$word\"" <<< "$words" || {
        echo "missing: $word"
        exit 1
    }
done
echo "$(wc -l <<< "$words") words"
