#!/bin/sh
# Builds the native tests with address and undefined-behaviour sanitizers and runs them.
# Usage: native/sanitize.sh [random models, 3000]
set -eu
cd "$(dirname "$0")/.."
PATH="$PWD/.venv/bin:$PATH"
cmake -S . -B build/sanitize -G Ninja -DCMAKE_BUILD_TYPE=RelWithDebInfo -DSAYWHY_MODULE=OFF -DSAYWHY_TESTS=ON \
    -DSAYWHY_SANITIZE=ON >/dev/null
cmake --build build/sanitize
build/sanitize/core_test "${1:-3000}"
