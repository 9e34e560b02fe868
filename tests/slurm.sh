#!/bin/sh
# A Slurm cluster of one node, this machine, answers the shards of examples/batch-slurm.sh; the answers are those of one
# batch, and a task put in again leaves them alone.
#
#     slurm.sh PROGRAM
#
# Every daemon is started here with files and ports of its own, and stopped by its number. Skipped (77) where Slurm or munge
# are not installed (slurm-wlm, munge), or will not start, as they may not but for root.
set -eu
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
tests=$(cd "$(dirname "$0")" && pwd)
examples=$tests/../examples
for needed in munged slurmctld slurmd sbatch sinfo; do
    command -v $needed >/dev/null || { echo "$needed is not installed"; exit 77; }
done
[ "$(id -u)" -eq 0 ] || { echo "only root starts a cluster"; exit 77; }

work=$(mktemp -d)
daemons=
stop() {
    for daemon in $daemons; do
        kill "$daemon" 2>/dev/null || true
    done
    wait
    rm -rf "$work"
}
trap stop EXIT
chmod 755 "$work" # munge refuses a socket where others may not look
cd "$work"
mkdir state spool

start() { # NAME COMMAND...: newest first, so that stopping goes backwards
    name=$1
    shift
    "$@" >"$name.out" 2>&1 &
    daemons="$! $daemons"
}

until_it_works() { # COMMAND...: within ten seconds
    for _ in 1 2 3 4 5 6 7 8 9 10; do
        "$@" && return 0
        sleep 1
    done
    return 1
}

host=$(hostname -s)
port=$((20000 + $$ % 20000))
cat >slurm.conf <<CONF
ClusterName=aliquot
SlurmctldHost=$host(127.0.0.1)
SlurmUser=root
SlurmdUser=root
AuthInfo=socket=$work/munge.socket
SlurmctldPort=$port
SlurmdPort=$((port + 1))
StateSaveLocation=$work/state
SlurmdSpoolDir=$work/spool
SlurmctldPidFile=$work/slurmctld.pid
SlurmdPidFile=$work/slurmd.pid
ProctrackType=proctrack/linuxproc
TaskPlugin=task/none
MpiDefault=none
SelectType=select/cons_tres
SelectTypeParameters=CR_Core
NodeName=$host NodeAddr=127.0.0.1 CPUs=2 RealMemory=200 State=UNKNOWN
PartitionName=main Nodes=$host Default=YES State=UP
CONF
head -c 128 /dev/urandom >munge.key
chmod 400 munge.key
SLURM_CONF=$work/slurm.conf
PATH=$(dirname "$program"):$PATH
SOURCE_DATE_EPOCH=1772409600 # Mon 2 Mar 2026
export SLURM_CONF PATH SOURCE_DATE_EPOCH

idle() { sinfo --noheader --format=%t 2>/dev/null | grep -q idle; }
start munged munged --force --foreground --key-file="$work/munge.key" --socket="$work/munge.socket" \
    --pid-file="$work/munged.pid" --log-file="$work/munged.log" --seed-file="$work/munged.seed"
until_it_works test -S munge.socket || { cat munged.out; exit 77; }
start slurmctld slurmctld -D
start slurmd slurmd -D
until_it_works idle || { cat slurmctld.out slurmd.out; exit 77; }

python3 "$tests/bench/questions.py" 1000 7 >questions
aliquot batch <questions >whole
split -d -a 4 -n l/5 questions shard.
array() { timeout 60 sbatch --quiet --wait --array=0-4 --output=%a.said "$examples/batch-slurm.sh"; }
array || { cat ./*.said slurmctld.out slurmd.out; exit 1; }
cat shard.????.answers >answers
cmp whole answers
[ "$(wc -l <answers)" -eq 1000 ]

# One shard was lost, one is there though its questions are gone: only the first is answered again.
rm shard.0003.answers shard.0001
array
cat shard.????.answers >answers
cmp whole answers
