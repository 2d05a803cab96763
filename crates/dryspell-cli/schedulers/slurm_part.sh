#!/bin/sh
# One task of the array: its part of the sweep. A task that runs again goes on where it stopped.
tasks=$1 out=$2
shift 2
RAYON_NUM_THREADS=${SLURM_CPUS_PER_TASK:-1} exec "${DRYSPELL:-dryspell}" sweep "$@" --out "$out" \
    --part "$SLURM_ARRAY_TASK_ID/$tasks"
