#!/bin/sh
# What the user sees, as files in the tree: tests/golden/COMMAND/NAME/{cmd,out,err,exit}.
#
#     golden.sh PROGRAM [EVERY]    runs each cmd in its folder and compares; no err means silence, no exit means 0.
#                                  EVERY: of so many cases one
#     golden.sh --bless PROGRAM    writes what is printed; the diff is read like code
set -u
bless=
[ "${1:-}" = --bless ] && bless=yes && shift
program=$(cd "$(dirname "$1")" && pwd)/$(basename "$1")
every=${2:-1}
top=$(cd "$(dirname "$0")/golden" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

PATH=$(dirname "$program"):$PATH
SOURCE_DATE_EPOCH=1772409600 # Mon 2 Mar 2026
NO_COLOR=1
LC_ALL=C.UTF-8
export PATH SOURCE_DATE_EPOCH NO_COLOR LC_ALL

same() { # NAME: the file of the case against what was printed; an absent one is empty
    if [ -f "$1" ]; then diff -u "$1" "$work/$1"; else diff -u /dev/null "$work/$1"; fi
}

keep() { # NAME: writes the file of the case, or takes it away when empty
    if [ -s "$work/$1" ]; then cp "$work/$1" "$1"; else rm -f "$1"; fi
}

count=0
failed=0
seen=0
for cmd in "$top"/*/*/cmd; do
    seen=$((seen + 1))
    [ $((seen % every)) -eq 0 ] || continue
    cd "$(dirname "$cmd")" || exit 3
    count=$((count + 1))
    sh ./cmd >"$work/out" 2>"$work/err" </dev/null
    code=$?
    if [ "$code" -eq 0 ]; then : >"$work/exit"; else echo "$code" >"$work/exit"; fi
    for name in out err exit; do
        if [ -n "$bless" ]; then
            keep "$name"
        elif ! same "$name" >"$work/diff"; then
            echo "== ${cmd#"$top"/}: $name"
            cat "$work/diff"
            failed=$((failed + 1))
        fi
    done
done
echo "$count cases, $failed differ"
[ "$failed" -eq 0 ] && [ "$count" -gt 0 ]
