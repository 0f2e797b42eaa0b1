#!/bin/sh
# Start Homeleg from this folder without a network. The first start installs it and compiles its
# flight kernel; later ones only run it. Arguments go to homeleg; without any it shows its help.
set -eu

version="@VERSION@"
stamp="@STAMP@"
here=$(cd "$(dirname "$0")" && pwd)
case $(uname -s) in
Darwin) own="${HOME:-}/Library/Application Support/homeleg" ;;
*) own="${XDG_DATA_HOME:-${HOME:-}/.local/share}/homeleg" ;;
esac

# The path is part of the stamp: an environment that was moved no longer finds itself.
is_ready() {
    venv="$1"
    [ "$(cat "$venv/stamp" 2>/dev/null)" = "$stamp $venv" ] && "$venv/bin/python" -c '' 2>/dev/null
}

find_python() {
    fits='import sys, venv; sys.exit("{}.{}".format(*sys.version_info) not in "@VERSIONS@".split())'
    for python in @PYTHONS@ python3; do
        if "$python" -c "$fits" 2>/dev/null; then
            return 0
        fi
    done
    echo "No Python of @VERSIONS@ found, which these wheels are for. Install one, then start again." >&2
    return 1
}

# Fails where nothing can be written or run, as on many memory sticks. pip runs from its own wheel,
# because some systems ship Python without it.
install_in() {
    venv="$1"
    pip=$(echo "$here"/wheels/pip-*.whl)
    rm -rf "$venv" 2>/dev/null &&
        "$python" -m venv --without-pip "$venv" >/dev/null 2>&1 &&
        printf '#!/bin/sh\n' >"$venv/runs" && chmod +x "$venv/runs" && "$venv/runs" 2>/dev/null &&
        "$venv/bin/python" "$pip/pip" --isolated install --quiet \
            --no-index --no-cache-dir --find-links "$here/wheels" "homeleg==$version" &&
        "$venv/bin/homeleg" warm &&
        printf '%s\n' "$stamp $venv" >"$venv/stamp"
}

name="venv-$(uname -s)-$(uname -m)"
if ! is_ready "$here/$name" && ! is_ready "$own/$name"; then
    find_python
    echo "First start: installing from this folder. It may take a minute or two." >&2
    if ! install_in "$here/$name"; then
        rm -rf "${here:?}/$name" 2>/dev/null || true
        install_in "$own/$name" || {
            echo "Could be installed neither in $here nor in $own." >&2
            exit 1
        }
    fi
fi

if [ $# -gt 0 ]; then
    exec "$venv/bin/homeleg" "$@"
fi
"$venv/bin/homeleg" --help
echo
echo "Try: sh '$0' check '$here/examples/tern-point/sortie.toml'"
if [ -t 0 ]; then
    echo "Here homeleg is a command; leave with: exit"
    PATH="$venv/bin:$PATH" exec "${SHELL:-/bin/sh}"
fi
