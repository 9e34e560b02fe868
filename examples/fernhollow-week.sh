#!/bin/sh
# A week at Fernhollow with a log: from the first mix by the label to a slope of its own.
#
#     sh examples/fernhollow-week.sh          works in a folder of its own and leaves nothing behind
#
# The pen counts in ppm, does not correct for temperature, and showed 690 in fresh 1413 standard: every reading is
# corrected by that before it is kept.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cp "$here"/fernhollow/*.yaml "$work"
cd "$work"

run() {
    printf '$ aliquot'
    printf ' %s' "$@"
    printf '\n'
    aliquot "$@"
    printf '\n'
}

# Mondays and Thursdays the trays are filled anew. The sheet is followed; the reading goes into the log with it.
day() { # DATE ppm
    aliquot mix site.yaml Trays --date "$1" --ec 1.2mS/cm --format json >sheet.json
    run log add site.yaml --sheet sheet.json --at "$1T07:50" --ec-after "$2ppm-500" --temperature 20degC --who Nell
}

promise() { # DATE: what the sheet of that day promises, and what it takes from the log
    echo "Promised on $1:"
    aliquot mix site.yaml Trays --date "$1" --ec 1.2mS/cm | sed -n '/^EXPECT/,/^$/p; /^ASSUMED/,/^$/p'
}

promise 2026-03-02
day 2026-03-02 479
day 2026-03-05 488
run log add site.yaml --at 2026-03-06T17:00 --left '{Part A: 700 mL, Part B: 1.1 L}'
run log add site.yaml --at 2026-03-06T17:05 --lot basil-14 --gate 'half the cuttings show roots' --passed yes
day 2026-03-09 481
run log add site.yaml Trays --at 2026-03-09T09:00 --note 'spilled some, wrong tank' --volume 12L
run log undo site.yaml 6 --at 2026-03-09T09:05
day 2026-03-12 484
run log list site.yaml
run learn site.yaml
promise 2026-03-16
