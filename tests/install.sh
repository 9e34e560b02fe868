#!/bin/sh
# Installs into a folder, builds an example against what is there, looks at the library's symbols, and takes it all away.
#
#     install.sh SOURCE BUILD COMPILER...
#
# BUILD must be built. Nothing outside a temporary folder is touched.
set -eu
source=$1
build=$2
shift 2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

fail() {
    echo "$*"
    exit 1
}

DESTDIR=$work/root meson install -C "$build" --no-rebuild --quiet
package=$(find "$work/root" -name aliquot.pc)
[ -n "$package" ] || fail "no pkg-config file is installed"

# What pkg-config says is enough for a compiler, and the version is the project's.
PKG_CONFIG_PATH=$(dirname "$package")
PKG_CONFIG_SYSROOT_DIR=$work/root
export PKG_CONFIG_PATH PKG_CONFIG_SYSROOT_DIR
"$@" -std=c11 -Wall -Wextra -Werror -o "$work/from_c" "$source/examples/from_c.c" $(pkg-config --cflags --libs aliquot)
library=$(find "$work/root" -name 'libaliquot.so.*.*')
LD_LIBRARY_PATH=$(dirname "$library") "$work/from_c" >"$work/said"
[ -s "$work/said" ] || fail "the example says nothing"
[ "$("$(find "$work/root" -path '*/bin/aliquot')" --version | tr -dc '0-9.\n')" = \
    "$(pkg-config --modversion aliquot)" ] || fail "the program and the package have two versions"
grep -q "^\*\*$(pkg-config --modversion aliquot)\*\*" "$source/README.md" || fail "README.md does not say what changed in it"

# A C++ program finds the same names, where there is a compiler for it.
if command -v c++ >/dev/null; then
    printf '#include <aliquot.h>\nint main() { return aq_job_find("mix") == nullptr; }\n' >"$work/from.cpp"
    c++ -std=c++17 -Wall -Wextra -Werror -o "$work/from_cpp" "$work/from.cpp" $(pkg-config --cflags --libs aliquot)
    LD_LIBRARY_PATH=$(dirname "$library") "$work/from_cpp" || fail "a C++ program does not find the jobs"
fi

# Each installed header stands by itself.
include=$(find "$work/root" -name aliquot.h | head -n 1)
find "$(dirname "$include")" -name '*.h' | while read -r header; do
    printf '#include "%s"\nint main(void) { return 0; }\n' "$header" >"$work/header.c"
    "$@" -std=c11 -Wall -Wextra -Werror -fsyntax-only -I"$(dirname "$include")" "$work/header.c" ||
        fail "$header needs another before it"
done

# The library is named with its major version, and gives out aq_ and AQ_ names alone, those that are listed.
case $(objdump -p "$library" | sed -n 's/ *SONAME *//p') in
libaliquot.so.[0-9]*) ;;
*) fail "the shared library has no versioned name" ;;
esac
sh "$source/tests/package/symbols" --check "$library" >"$work/symbols" || fail "$(cat "$work/symbols")"

# Everything that was put there goes.
installed=$(find "$work/root" -type f -o -type l | wc -l)
ninja -C "$build" uninstall >/dev/null
left=$(find "$work" -path "$work/root/*" ! -type d)
[ -z "$left" ] || fail "left behind: $left"
echo "$installed files installed and taken away, $(tail -n 1 "$work/symbols")"
