#!/bin/bash
# SPDX-License-Identifier: GPL-3.0-or-later
# bare.sh PACKAGES [ROOT] - installs the packages of a folder on a bare Debian 12, runs a shared script, the Lua module and a C program
# there, takes all away again, and compares the files before and after. Without ROOT it makes the bare Debian by debootstrap; with it,
# a copy of ROOT is used. For root, with a network; takes some minutes, so it is run by hand.
set -euo pipefail
packages=$(realpath "$1")
root=$(mktemp -d /tmp/bare.XXXXXX)
fail() {
    echo "bare.sh: $*" >&2
    exit 1
}
[[ $(id -u) == 0 ]] || fail "run it as root: it makes a Debian of its own and enters it"
compgen -G "$packages/lodeloom_*.deb" >/dev/null || fail "$packages holds no packages: cmake --workflow --preset packages"

clean() {
    rm -f "$root".{before,after,printed}
    mountpoint -q "$root/proc" && umount "$root/proc"
    rm -rf --one-file-system "$root"
}
trap clean EXIT

if [[ $# -gt 1 ]]; then
    cp -a --one-file-system "$2/." "$root"
else
    debootstrap --variant=minbase bookworm "$root" >/dev/null
fi
cp /etc/resolv.conf "$root/etc/"
mount -t proc proc "$root/proc"

inside() {
    chroot "$root" env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LC_ALL=C.UTF-8 DEBIAN_FRONTEND=noninteractive "$@"
}

# What belongs to dpkg and apt themselves, caches and logs may change; every other path is told, with what a file holds.
paths() {
    (cd "$root" && find . -xdev \( -path ./proc -o -path ./tmp -o -path ./var/lib/apt -o -path ./var/lib/dpkg -o -path ./var/cache -o \
        -path ./var/log \) -prune -o -type f ! -path ./etc/ld.so.cache -exec sha256sum {} + -o ! -type f -print | sort)
    (cd "$root" && find var/lib/dpkg var/cache var/log -name '*lodeloom*')
}

inside apt-get update -qq
inside apt-get install -y -qq --no-install-recommends lua5.4 gcc libc6-dev pkg-config >/dev/null # what callers have already
paths >"$root.before"
mkdir "$root/tmp/packages"
cp "$packages"/*.deb "$root/tmp/packages"
inside sh -c 'apt-get install -y -qq --no-install-recommends /tmp/packages/*.deb' >/dev/null

start=$(date +%s%N)
inside lodeloom run two-bar-quarter-turns >"$root.printed"
head -5 "$root.printed"
echo "first tables after $((($(date +%s%N) - start) / 1000000)) ms"
grep -q 'works, north up' "$root.printed" || fail "the shared script printed no table"
inside lua5.4 -e 'print("Lua: " .. #require("lodeloom").materials() .. " materials")'
cat >"$root/tmp/version.c" <<'END'
#include <lodeloom.h>
#include <stdio.h>
int main(void) { return puts(ll_version()) < 0; }
END
inside sh -c 'cd /tmp && cc version.c $(pkg-config --cflags --libs lodeloom) -o version && ./version'
inside test -e /usr/share/man/man1/lodeloom.1.gz -a -e /usr/share/doc/lodeloom/first-hour.md || fail "man page or manual is missing"

inside apt-get purge -y -qq --autoremove lodeloom liblodeloom0.1 liblodeloom-dev lua-lodeloom lodeloom-doc >/dev/null
rm -rf "$root/tmp/packages" "$root"/tmp/version*
paths >"$root.after"
if ! diff "$root.before" "$root.after"; then
    fail "these paths were left behind, taken away or changed"
fi
echo "nothing is left"
