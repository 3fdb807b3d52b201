# Sourced by ./run and ./check: one place that makes a virtual environment from a hashed lock.

fail() { printf '%s\n' "$*" >&2; exit 1; }

python_of_right_age() {
  local candidate
  for candidate in ${PYTHON:-} python3 python3.11 python3.12 python3.13 python3.14 python; do
    if "$candidate" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
      printf '%s\n' "$candidate"
      return 0
    fi
  done
  return 1
}

# make_environment FOLDER LOCK: installs the lock (hashes required) and this checkout, once for each state of the lock.
make_environment() {
  local folder=$1 lock=$2 python stamp state
  stamp="$folder/.ninefine-lock"
  state=$(cat "$lock" pyproject.toml | git hash-object --stdin)
  if [ -f "$stamp" ] && [ "$(cat "$stamp")" = "$lock $state" ]; then
    return 0
  fi
  # an environment made for the checks holds everything that a run needs
  if [ "$lock" = locks/run.txt ] && [ -f "$stamp" ] &&
    [ "$(cat "$stamp")" = "locks/dev.txt $(cat locks/dev.txt pyproject.toml | git hash-object --stdin)" ]; then
    return 0
  fi
  python=$(python_of_right_age) || fail "ninefine needs Python 3.11 or newer. Install it, or name it: PYTHON=/path/to/python3.11 $0"
  printf 'Making the environment in %s (once; about half a minute) ...\n' "$folder" >&2
  "$python" -m venv "$folder" || fail "Python could not make a virtual environment. On Debian and Ubuntu: apt install python3-venv"
  "$folder/bin/python" -m pip install --quiet --disable-pip-version-check --require-hashes --only-binary=:all: -r "$lock" ||
    fail "The locked packages could not be installed. Is there a network, and does $lock hold your platform?"
  "$folder/bin/python" -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation --editable . ||
    fail "This checkout could not be installed into $folder."
  # compiled once here, so that the next start is quick even where Python is told to write no bytecode itself
  "$folder/bin/python" -m compileall -q src || printf 'Starts will be slower: nothing can be written into src.\n' >&2
  printf '%s\n' "$lock $state" > "$stamp"
}
