# Shared by tests/run and demo/run: system packages, the virtual environment, the package itself.
# Everything is skipped when it is already there, so a second run needs no network.
# The caller sets `root`, the project's top directory.

venv="$root/.venv"
export PIP_DISABLE_PIP_VERSION_CHECK=1
export CMAKE_BUILD_PARALLEL_LEVEL="${CMAKE_BUILD_PARALLEL_LEVEL:-$(nproc)}"

say() { printf '\n== %s\n' "$*"; }
die() { printf '%s\n' "$*" >&2; exit 1; }

as_root() {
  if [ "$(id -u)" = 0 ]; then "$@"; else sudo "$@"; fi
}

# system_packages NAME... installs Debian packages; elsewhere it says what is missing.
system_packages() {
  [ $# -gt 0 ] || return 0
  command -v apt-get >/dev/null || die "missing, and no apt-get to install it: $*"
  say "system packages: $*"
  as_root env DEBIAN_FRONTEND=noninteractive apt-get -q -o DPkg::Lock::Timeout=120 update &&
    as_root env DEBIAN_FRONTEND=noninteractive apt-get -q -o DPkg::Lock::Timeout=120 \
      install -y --no-install-recommends "$@" || die "could not install: $*"
}

# find_python prints the first interpreter that is new enough; PYTHON names one to use.
find_python() {
  local name
  for name in ${PYTHON:-python3 python3.14 python3.13 python3.12 python3.11}; do
    if "$name" -c 'import sys; sys.exit(sys.version_info < (3, 11))' 2>/dev/null; then
      command -v "$name"
      return
    fi
  done
  die "no Python of at least 3.11 found; set PYTHON to one"
}

# needed_for_building PYTHON prints the packages that compiling the extension lacks here.
needed_for_building() {
  command -v g++ >/dev/null || echo g++
  "$1" -c 'import ensurepip, venv' 2>/dev/null || echo python3-venv
  "$1" -c 'import os, sysconfig as s; os.stat(s.get_path("include") + "/Python.h")' 2>/dev/null ||
    echo python3-dev
}

# needed_for_pdf prints the packages that WeasyPrint sets text with and that are missing here.
needed_for_pdf() {
  command -v apt-get >/dev/null || return 0  # elsewhere the PDF says what it misses
  local name
  for name in libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0; do
    dpkg-query -W -f='${db:Status-Abbrev}' "$name" 2>/dev/null | grep -q '^ii' || echo "$name"
  done
}

# needed_for_core_tests prints the packages that the C++ tests and benchmarks lack here.
needed_for_core_tests() {
  [ -e /usr/include/gtest/gtest.h ] || echo libgtest-dev
  [ -e /usr/include/benchmark/benchmark.h ] || echo libbenchmark-dev
}

# A copied or half-made environment has scripts that point elsewhere, and is made anew.
make_venv() {
  if ! grep -qs "$venv/bin/python" "$venv/bin/pip" || ! "$venv/bin/python" -c '' 2>/dev/null; then
    say "virtual environment in .venv"
    "$1" -m venv --clear "$venv" || die "could not make .venv"
  fi
}

# python_packages EXTRA... installs what builds the package and what its extras name.
python_packages() {
  say "Python packages for: $*"
  local version constraints=()
  version="$("$venv/bin/python" -c 'import sys; print("%d.%d" % sys.version_info[:2])')"
  [ ! -f "$root/.ci/constraints-$version.txt" ] ||
    constraints=(--constraint "$root/.ci/constraints-$version.txt")
  "$venv/bin/python" "$root/tests/lib/requirements.py" "$@" >"$venv/requirements.txt" &&
    "$venv/bin/python" -m pip install --quiet --no-compile "${constraints[@]}" \
      --requirement "$venv/requirements.txt" cmake ninja || die "could not install Python packages"
}

# install_airchain [FOLDER SETTING...] builds the package in a folder of build/, with settings of
# its build backend. The build tree is kept, so that only what changed is compiled again. After a
# failed build no older copy stays behind for tests to pass on.
install_airchain() {
  local folder="${1-wheel}"
  shift $(($# > 0))
  "$venv/bin/python" -m pip install --quiet --no-index --no-deps --no-build-isolation \
    --force-reinstall --config-settings=build-dir="build/$folder" \
    "${@/#/--config-settings=}" "$root" || {
    "$venv/bin/python" -m pip uninstall --quiet --yes airchain
    return 1
  }
}
