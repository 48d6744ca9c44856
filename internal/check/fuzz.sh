#!/bin/sh
# Feeds every reader of foreign bytes with made-up input, each for FUZZ_TIME (10m). Stops at
# the first that falls; the input that felled it lies in testdata/fuzz beside the test then,
# and is part of `go test` from there on.
set -eu
cd "$(dirname "$0")/../.."
grep -rl '^func Fuzz' --include='*_test.go' internal cmd | xargs -n1 dirname | sort -u | while read -r dir; do
    sed -n 's/^func \(Fuzz[A-Za-z0-9]*\)(.*/\1/p' "$dir"/*_test.go | sort | while read -r name; do
        echo "$dir $name"
        "${GO:-go}" test -run '^$' -fuzz "^$name\$" -fuzztime "${FUZZ_TIME:-10m}" -fuzzminimizetime 20s "./$dir" </dev/null
    done
done
