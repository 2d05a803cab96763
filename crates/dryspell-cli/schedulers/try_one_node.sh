#!/usr/bin/env bash
# The scripts beside this one on a real Slurm of one node: a task is killed half-way and submitted again, and the table is held byte for
# byte against one that was made in one go. Needs root and the packages slurmctld, slurmd, slurm-client and munge; not part of `.ci/run`.
#
#   cargo build --release -p dryspell-cli && sudo bash crates/dryspell-cli/schedulers/try_one_node.sh
set -euo pipefail
here=$(cd "$(dirname "$0")" && pwd)
root=$(cd "$here/../../.." && pwd)
export DRYSPELL=${DRYSPELL:-$root/target/release/dryspell}
work=$(mktemp -d)
chmod 755 "$work"
export SLURM_CONF=$work/slurm.conf
cleanup() {
    kill "$(cat "$work/slurmd.pid" 2> /dev/null)" "$(cat "$work/slurmctld.pid" 2> /dev/null)" 2> /dev/null || true
    kill "${munged:-0}" 2> /dev/null || true
    sleep 1
    rm -rf "$work"
}
trap cleanup EXIT

host=$(hostname -s)
cat > "$SLURM_CONF" << CONF
ClusterName=one
SlurmctldHost=$host
SlurmUser=root
AuthType=auth/munge
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
SelectType=select/cons_tres
SelectTypeParameters=CR_CPU
SchedulerParameters=sched_interval=1,bf_interval=1
ReturnToService=2
StateSaveLocation=$work/state
SlurmdSpoolDir=$work/spool
SlurmctldPidFile=$work/slurmctld.pid
SlurmdPidFile=$work/slurmd.pid
SlurmctldLogFile=$work/slurmctld.log
SlurmdLogFile=$work/slurmd.log
NodeName=$host CPUs=$(nproc) State=UNKNOWN
PartitionName=all Nodes=$host Default=YES MaxTime=INFINITE State=UP
CONF
mkdir -p "$work/state" "$work/spool" /run/munge
chown munge: /run/munge 2> /dev/null || true
[ -e /etc/munge/munge.key ] || mungekey --create 2> /dev/null || true
if ! munge -n > /dev/null 2>&1; then
    su -s /bin/sh munge -c 'munged --foreground' > /dev/null 2>&1 &
    munged=$!
    sleep 2
fi
slurmctld
slurmd
for _ in $(seq 30); do sinfo -h -o %T 2> /dev/null | grep -q idle && break; sleep 1; done
sinfo

cd "$work"
cp "$root"/data/demo/scheme.toml "$root"/data/demo/weather.csv .
vary=(--vary "tank.main.capacity = 4 to 24 by 0.05 m3" --vary "array.shed.tilt = 20 to 70 by 2 deg")
"$DRYSPELL" sweep scheme.toml "${vary[@]}" --out whole.csv
answer=$(TASKS=6 sh "$here/slurm_submit.sh" map.csv scheme.toml "${vary[@]}")
echo "$answer"
job=$(echo "$answer" | sed -n 's/^parts: job //p')
# Task 3 is killed without a warning as soon as it has finished a piece.
for _ in $(seq 600); do [ "$(stat -c %s map.csv.part-3-of-6 2> /dev/null || echo 0)" -gt 60000 ] && break; sleep 0.05; done
scancel --signal=KILL --full "${job}_3"
wait_for() { while squeue -h 2> /dev/null | grep -q .; do sleep 1; done; }
wait_for
echo "-- the first gather:"
cat map.csv.gather.log
[ ! -e map.csv ] || { echo "joined without part 3" >&2; exit 1; }
TASKS=6 PARTS=3 sh "$here/slurm_submit.sh" map.csv scheme.toml "${vary[@]}"
wait_for
echo "-- task 3 again, and the second gather:"
cat map.csv.task-3.log map.csv.gather.log
cmp whole.csv map.csv && echo "the same table, byte for byte: $(wc -l < map.csv) lines"
rm -f map.csv map.csv.part-*
TASKS=6 AT_ONCE=2 sh "$here/parts_at_once.sh" map.csv scheme.toml "${vary[@]}" > /dev/null
cmp whole.csv map.csv && echo "the same from a plain shell"
