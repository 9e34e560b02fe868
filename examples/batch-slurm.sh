#!/bin/sh
# Answers questions on many machines: one shard a task of a Slurm array.
#
#     split -d -a 4 -n l/16 questions.jsonl shard.           cuts at line ends: shard.0000 to shard.0015
#     sbatch --array=0-15 batch-slurm.sh [SITE]              answers each into shard.NNNN.answers
#     cat shard.????.answers > answers.jsonl                 in the order of the questions
#
# A shard whose answers are there is not answered again, so a task that was stopped can be put in anew. Exit 1 of a batch
# says that a line could not be answered, which is an answer too.
#SBATCH --job-name=aliquot
#SBATCH --cpus-per-task=1
#SBATCH --mem=100M
#SBATCH --time=01:00:00
set -eu
shard=$(printf 'shard.%04d' "$SLURM_ARRAY_TASK_ID")

[ ! -f "$shard.answers" ] || exit 0
status=0
aliquot batch "$@" <"$shard" >"$shard.part" || status=$?
[ "$status" -le 1 ] || exit "$status"
mv "$shard.part" "$shard.answers"
