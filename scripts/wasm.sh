#!/usr/bin/env bash
# Runs cargo for wasm32-unknown-unknown: `wasm.sh build -p model`. Used by wasm-check.sh and `cargo xtask phone`.
#
# With rustup's own target installed (`rustup target add wasm32-unknown-unknown`) that is plain cargo. Otherwise, on
# Debian, the compiler and the source of the standard library come from Debian's packages, unpacked into a cache
# folder (nothing is installed), and cargo builds the standard library along.
#
#   WASM_DEBS    a folder where the packages may already lie         (default: /opt/wasm)
#   WASM_CACHE   where packages are fetched to and unpacked           (default: a folder of the user's cache)
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."

target=wasm32-unknown-unknown
packages=(rustc-web libstd-rust-web-1.96 libstd-rust-web-dev rust-web-src libllvm22 lld-22 liblld-22)
debs=${WASM_DEBS:-/opt/wasm}
cache=${WASM_CACHE:-${XDG_CACHE_HOME:-$HOME/.cache}/panelwright-wasm}
command=$1
shift

# Another compiler than the host's builds here, so it gets a folder of its own.
target_dir=${CARGO_TARGET_DIR:-target}/wasm
sysroot=$(rustc --print sysroot)

if [[ -d $sysroot/lib/rustlib/$target ]]; then
    echo "wasm: with the installed target"
    CARGO_TARGET_DIR=$target_dir cargo "$command" --locked --target "$target" "$@"
    exit
fi

root=$cache/root
stamp=$cache/unpacked
if [[ ! -e $stamp ]]; then
    command -v dpkg apt-get >/dev/null || {
        echo "wasm: the target is not installed: rustup target add $target" >&2
        exit 1
    }
    mkdir -p "$cache/debs"
    rm -rf "$root"
    for package in "${packages[@]}"; do
        files=("$debs/${package}"_*.deb)
        if [[ ! -e ${files[0]} ]]; then
            files=("$cache/debs/${package}"_*.deb)
        fi
        if [[ ! -e ${files[0]} ]]; then
            echo "wasm: fetching $package"
            (cd "$cache/debs" && { apt-get -qq download "$package" || { apt-get -qq update && apt-get -qq download "$package"; }; })
            files=("$cache/debs/${package}"_*.deb)
        fi
        dpkg -x "${files[-1]}" "$root"
    done
    touch "$stamp"
fi

libraries=$root/usr/lib/x86_64-linux-gnu:$root/usr/lib/llvm-22/lib
echo "wasm: with $(LD_LIBRARY_PATH=$libraries "$root/usr/bin/rustc" --version)"
# The toolchain's own cargo: rustup's proxy would put its own compiler back in front.
env RUSTC="$root/usr/bin/rustc" RUSTC_BOOTSTRAP=1 \
    LD_LIBRARY_PATH="$libraries" PATH="$root/usr/lib/llvm-22/bin:$PATH" \
    CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER=wasm-ld CARGO_TARGET_DIR="$target_dir" \
    "$sysroot/bin/cargo" "$command" --locked -Zbuild-std=std,panic_abort --target "$target" "$@"
