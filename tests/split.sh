#!/bin/sh
# Answers are the same whatever the split: one batch, GNU parallel with two workers, and the shards of a Slurm array, each
# task run by hand as Slurm would.
#
#     split.sh PROGRAM
set -eu
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
tests=$(cd "$(dirname "$0")" && pwd)
examples=$tests/../examples
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
PATH=$(dirname "$program"):$PATH
SOURCE_DATE_EPOCH=1772409600 # Mon 2 Mar 2026
export PATH SOURCE_DATE_EPOCH
cd "$work"

# Some lines ask wrongly; the number of a line counts within its block, so it is left out of the comparison.
python3 "$tests/bench/questions.py" 1500 7 |
    awk '{ print } NR % 400 == 0 { print "{\"job\":\"mix\",\"id\":\"wrong " NR "\",\"colour\":\"red\"}" }' >questions
without_lines() { sed 's/"line":[0-9]*,//' "$1"; }

answered() { # FILE: as many answers as questions, and the same ones
    [ "$(wc -l <"$1")" -eq "$(wc -l <questions)" ] || { echo "$1: $(wc -l <"$1") answers"; exit 1; }
    without_lines "$1" >"$1.plain"
    cmp whole.plain "$1.plain"
}

aliquot batch <questions >whole || [ $? -eq 1 ]
without_lines whole >whole.plain
[ "$(grep -c '"aliquot":"sheet 1"' whole)" -eq 1500 ]
[ "$(grep -c '"id":"wrong ' whole)" -eq 3 ]

split -d -a 4 -n l/5 questions shard.
for task in 0 1 2 3 4; do
    SLURM_ARRAY_TASK_ID=$task sh "$examples/batch-slurm.sh"
done
cat shard.????.answers >slurm
answered slurm

if command -v parallel >/dev/null; then
    for block in 20k 1M; do
        JOBS=2 BLOCK=$block sh "$examples/batch-parallel.sh" <questions >parallel || [ $? -le 3 ]
        answered parallel
    done
else
    echo "GNU parallel is not installed: its part is left out"
fi
