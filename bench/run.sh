#!/bin/sh
# Prints one table: what this project takes for the work whose speed it promises, and
# what general-purpose libraries take for the same, measured in turns in one run.
#
#   bench/run.sh                    all, about five minutes on a quiet machine
#   bench/run.sh -rounds 5          more turns
#   bench/run.sh -growth ../docs/pictures/growth.svg   how cost grows, drawn
#   bench/run.sh -only distance     only the lines with this word
set -eu
cd "$(dirname "$0")"
exec go run . "$@"
