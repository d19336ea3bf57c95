#!/usr/bin/env bash
# Runs the scripts of this folder (or those named) that work results of the library out in another way, in a virtual
# environment of their own with pinned packages.
set -euo pipefail
cd "$(dirname "$0")/../.."

target=${CARGO_TARGET_DIR:-$PWD/target}
here=tests/reference
venv=$target/reference-venv
# A new list of packages makes a new environment.
if ! cmp -s $here/requirements.txt "$venv/requirements.txt"; then
    rm -rf "$venv"
    python3 -m venv "$venv"
    "$venv/bin/pip" install --quiet --disable-pip-version-check --requirement $here/requirements.txt
    cp $here/requirements.txt "$venv/requirements.txt"
fi
cargo build --quiet --release --locked -p fieldcoil-calc --examples
cargo build --quiet --locked -p fieldcoil
export FIELDCOIL=$target/debug/fieldcoil
export MOTOR_RUNS=$target/release/examples/motor_runs FIELDCOIL_EXAMPLES=$target/release/examples
export PYTHONDONTWRITEBYTECODE=1

# `motors.py` is what the others share.
scripts=("$@")
[ $# -gt 0 ] || mapfile -t scripts < <(find $here -name '*.py' ! -name motors.py -printf '%f\n' | sort)
status=0
for script in "${scripts[@]}"; do
    "$venv/bin/python" "$here/${script##*/}" || { status=1; echo "$script failed" >&2; }
done
exit $status
