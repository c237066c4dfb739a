#!/usr/bin/env bash
# A cohort in parts on the processors of one machine, or of several, with GNU parallel.
#   assets/batch/cohort-parallel.sh OUT_FOLDER SHARDS [CASE... and options of `evenkeel cohort`]
# Several machines: PARALLEL_OPTIONS='--sshloginfile machines --workdir .' (each needs evenkeel and the folder).
set -euo pipefail
[ $# -ge 2 ] || { sed -n '2,4p' "$0"; exit 2; }
folder=$1 shards=$2
shift 2
evenkeel=${EVENKEEL:-evenkeel}
mkdir -p "$folder"
# shellcheck disable=SC2086  # the options are words
seq "$shards" | parallel ${PARALLEL_OPTIONS:-} --halt now,fail=1 \
    "$evenkeel" cohort "$@" --threads 1 --shard "{}/$shards" --csv "$folder/part-{}.csv"
"$evenkeel" cohort --merge "$folder"/part-*.csv --csv "$folder/cohort.csv" > "$folder/summary.txt"
echo "$folder/cohort.csv, $folder/summary.txt"
