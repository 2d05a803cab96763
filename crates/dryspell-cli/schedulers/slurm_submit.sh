#!/bin/sh
# A sweep as a job array of Slurm, joined when all its parts are done:
#
#   TASKS=16 sh slurm_submit.sh map.csv scheme.toml --vary "tank.main.capacity = 2 to 40 by 0.01 m3"
#
# A part that was killed goes on where it stopped, and is joined with the others:
#
#   TASKS=16 PARTS=3 sh slurm_submit.sh map.csv scheme.toml --vary "tank.main.capacity = 2 to 40 by 0.01 m3"
#
# What else sbatch needs at your place (time, memory, account) goes into SBATCH_OPTIONS. The folder must be one that all nodes see.
set -eu
: "${TASKS:?say into how many parts, such as TASKS=16}"
if [ $# -lt 3 ]; then
    echo "usage: TASKS=N sh $0 TABLE SCHEME --vary ..." >&2
    exit 2
fi
out=$1
shift
here=$(cd "$(dirname "$0")" && pwd)
job=$(sbatch --parsable ${SBATCH_OPTIONS:-} --array="${PARTS:-1-$TASKS}" --output="$out.task-%a.log" \
    "$here/slurm_part.sh" "$TASKS" "$out" "$@")
echo "parts: job $job"
join=$(sbatch --parsable ${SBATCH_OPTIONS:-} --dependency="afterany:$job" --output="$out.gather.log" \
    "$here/slurm_gather.sh" "$TASKS" "$out")
echo "gather: job $join, $out.gather.log says what is missing"
