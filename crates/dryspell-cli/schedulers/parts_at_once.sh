#!/bin/sh
# A sweep in parts on one machine without a scheduler, so many at a time, then joined; the same command again goes on where it stopped:
#
#   TASKS=16 AT_ONCE=4 sh parts_at_once.sh map.csv scheme.toml --vary "tank.main.capacity = 2 to 40 by 0.01 m3"
set -eu
: "${TASKS:?say into how many parts, such as TASKS=16}"
if [ $# -lt 3 ]; then
    echo "usage: TASKS=N [AT_ONCE=M] sh $0 TABLE SCHEME --vary ..." >&2
    exit 2
fi
out=$1
shift
here=$(cd "$(dirname "$0")" && pwd)
k=1
while [ "$k" -le "$TASKS" ]; do
    echo "$k"
    k=$((k + 1))
done | xargs -P "${AT_ONCE:-2}" -I{} env SLURM_ARRAY_TASK_ID={} sh "$here/slurm_part.sh" "$TASKS" "$out" "$@"
exec sh "$here/slurm_gather.sh" "$TASKS" "$out"
