# Sourced: `here` is this folder. Gives `python`, of a virtual environment with the reference libraries
# at the versions of requirements.txt: $RAKEWELL_VENV or ~/.cache/rakewell-venv. `cannot` says why not
# and ends.
venv=${RAKEWELL_VENV:-$HOME/.cache/rakewell-venv}
python=$venv/bin/python
export PYTHONDONTWRITEBYTECODE=1
# Small matrices: further threads would wait for one another.
export OPENBLAS_NUM_THREADS=1

cannot() {
    echo "${0#"$PWD"/}: $1" >&2
    echo "0 passed, 1 failed"
    exit 2
}

# The stamp is written last, so a broken installation is made again.
if ! cmp -s "$here/requirements.txt" "$venv/installed.txt"; then
    "${PYTHON:-python3}" -m venv --clear "$venv" || cannot "no virtual environment at $venv"
    "$venv/bin/pip" install --quiet --disable-pip-version-check --only-binary :all: \
        --requirement "$here/requirements.txt" || cannot "the libraries could not be installed"
    cp "$here/requirements.txt" "$venv/installed.txt"
fi
