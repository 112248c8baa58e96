# Sourced by the scripts of this folder: they stand in the project's root, are quiet unless something fails, and build alike.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
mkdir -p build
log=$PWD/build/log.txt

export SHIMWISE_SIZE=${SHIMWISE_SIZE:-short} SHIMWISE_SIZES=$PWD/build/sizes.txt
export CMAKE_BUILD_PARALLEL_LEVEL=${CMAKE_BUILD_PARALLEL_LEVEL:-$(nproc)} CTEST_PARALLEL_LEVEL=${CTEST_PARALLEL_LEVEL:-$(nproc)}
export CXX=${CXX:-c++} # for pip too, whose build of the library then is found in ccache by the release preset
export SHIMWISE_STARTED=${SHIMWISE_STARTED:-$(date +%s)}

stage() {
    local seconds=$(($(date +%s) - SHIMWISE_STARTED))
    printf '== %d:%02d %s\n' $((seconds / 60)) $((seconds % 60)) "$*"
}

# needs PROFILE: see scripts/install
needs() {
    scripts/install "$1"
    if command -v ccache >/dev/null; then
        export CMAKE_CXX_COMPILER_LAUNCHER=ccache CCACHE_SLOPPINESS=pch_defines,time_macros # for precompiled headers
    fi
}

# debian NAME..: Debian packages that are not there yet, through sudo when not root
debian() {
    local name missing=() root=()
    for name; do
        [ "$(dpkg-query -Wf '${db:Status-Status}' "$name" 2>/dev/null)" = installed ] || missing+=("$name")
    done
    if [ ${#missing[@]} = 0 ]; then
        stage "Debian packages: all there"
        return
    fi
    command -v apt-get >/dev/null || { echo "needs a Debian or Ubuntu, or by hand: ${missing[*]}" >&2; exit 1; }
    if [ "$(id -u)" != 0 ]; then
        command -v sudo >/dev/null || { echo "needs root or sudo to install: ${missing[*]}" >&2; exit 1; }
        root=(sudo)
    fi
    stage "Debian packages: installing ${missing[*]}"
    quietly "${root[@]}" apt-get -o Acquire::Retries=3 update
    quietly "${root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get -o Acquire::Retries=3 install -y --no-install-recommends "${missing[@]}"
}

# Runs a command; what it says is in $log, and is shown when it fails.
quietly() {
    "$@" >"$log" 2>&1 || {
        local status=$?
        cat "$log" >&2
        echo "failed: $*" >&2
        exit $status
    }
}

# The same for a build, with how far it is: on one line of a terminal, else a line now and then.
counted() {
    local every=40
    if [ -t 1 ]; then every=1; fi
    {
        "$@" 2>&1 || echo $? >"$log.failed"
    } | tee "$log" | awk -v every="$every" '
        match($0, /^ *\[[0-9]+\/[0-9]+\]/) {
            split(substr($0, RSTART, RLENGTH), n, /[^0-9]+/)
            if (n[2] % every == 0 && n[3] + 0 > every + 0) {
                printf((every == 1) ? "\r   compiling %d of %d " : "   compiling %d of %d\n", n[2], n[3])
                fflush()
            }
        }
        END { if (every == 1) printf("\r%40s\r", "") }'
    if [ -e "$log.failed" ]; then
        local status
        status=$(cat "$log.failed")
        rm "$log.failed"
        cat "$log" >&2
        echo "failed: $*" >&2
        exit "$status"
    fi
}

# build PRESET [TARGET..]
build() {
    local preset=$1
    shift
    quietly cmake --preset "$preset"
    counted cmake --build --preset "$preset" ${1:+--target "$@"}
}

# The benchmark and its Python module, which is built for the interpreter of .venv.
bench_programs() {
    quietly cmake --preset release -DPython_EXECUTABLE="$PWD/.venv/bin/python" \
        -Dpybind11_DIR="$(.venv/bin/python -m pybind11 --cmakedir)"
    counted cmake --build --preset release --target shimwise_bench shimwise_bench_module
}

ctests() {
    quietly ctest --preset "$1"
    grep 'tests passed' "$log"
}

# Installs the package into .venv unless that is done and nothing has changed since.
package() {
    local now stamp=.venv/package.sha256
    now=$(find CMakeLists.txt CMakePresets.json LICENSE README.md pyproject.toml cpp/include cpp/src python \
        -type f ! -name '*.pyc' -print0 | LC_ALL=C sort -z | xargs -0 sha256sum)
    if [ "$now" != "$(cat "$stamp" 2>/dev/null)" ]; then
        counted .venv/bin/python -m pip install -v --no-build-isolation --no-deps --config-settings=build-dir=build/package .
        printf '%s\n' "$now" >"$stamp"
    fi
}

machine() {
    printf '%s, %s cores, %s, %s, %s\n' "$(sed -n 's/^model name\s*: //p' /proc/cpuinfo | head -1)" "$(nproc)" \
        "$(. /etc/os-release && echo "$PRETTY_NAME")" "$(c++ --version | head -1)" "$(.venv/bin/python --version)"
}
