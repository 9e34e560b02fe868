#!/bin/sh
# Answers a file of questions on every core of one machine.
#
#     batch-parallel.sh [SITE] < questions.jsonl > answers.jsonl
#
# GNU parallel cuts its input at line ends and keeps the order, so the answers are those of one `aliquot batch`, whatever
# the number of workers. Only the "line" of a line that cannot be answered counts from where its block begins: give each
# question an "id", which comes back with its answer. JOBS is the number of workers, BLOCK how much each gets at a time.
# A file is read by the workers themselves; what comes down a pipe is handed out, which costs a part of a core.
set -eu
file=$(readlink -f "/proc/$$/fd/0" 2>/dev/null || :)
if [ -f "$file" ]; then
    set -- --pipepart --arg-file "$file" --block "${BLOCK:-1M}" aliquot batch "$@"
else
    set -- --pipe --block "${BLOCK:-1M}" aliquot batch "$@"
fi
exec parallel --will-cite --keep-order --jobs "${JOBS:-100%}" "$@"
