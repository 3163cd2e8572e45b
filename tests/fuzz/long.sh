#!/usr/bin/env bash
# Many spoilt inputs: tests/fuzz/long.sh [COUNT]. What breaks is kept below the system's temporary folder; put it into
# tests/fuzz/found/NAME/ (the project as trial.toml) with the mending.
set -euo pipefail
cd "$(dirname "$0")/../.."
STRUTWISE_CASES=${1:-50000} cargo test --locked --release --test fuzz -- --nocapture
