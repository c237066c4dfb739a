#!/usr/bin/env bash
# A cohort as a Slurm job array: a part each, put together when all are done.
#   sbatch --array=1-8 assets/batch/cohort-slurm.sh OUT_FOLDER [CASE... and options of `evenkeel cohort`]
#   then: evenkeel cohort --merge OUT_FOLDER/part-*.csv --csv OUT_FOLDER/cohort.csv
# The array has to begin at 1 without gaps; a part that failed is sent again with --array=ITS_NUMBER and
# COHORT_SHARDS set to the number of parts. The folder must be on a disk that all nodes see.
#SBATCH --job-name=evenkeel-cohort
#SBATCH --ntasks=1
#SBATCH --cpus-per-task=1
#SBATCH --mem-per-cpu=512M
set -euo pipefail
[ $# -ge 1 ] || { sed -n '2,6p' "$0"; exit 2; }
folder=$1
shift
mkdir -p "$folder"
"${EVENKEEL:-evenkeel}" cohort "$@" --threads 1 --csv "$folder/part-$SLURM_ARRAY_TASK_ID.csv" \
    --shard "$SLURM_ARRAY_TASK_ID/${COHORT_SHARDS:-$SLURM_ARRAY_TASK_COUNT}"
