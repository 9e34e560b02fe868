# A Debian of its own in a temporary folder, for what must not touch this one. Read by the commands that want it:
#
#     . tests/debian.sh
#     debian_make FOLDER              a minimal Debian 12 in FOLDER; DEBIAN_BASE=PATH keeps one at PATH and copies it
#     debian_add FOLDER [ARCH] -- PACKAGE...     installs there, after adding a foreign architecture
#     debian_in FOLDER COMMAND...     runs there, with /proc and /dev of its own that go when it ends
#
# Needs root, debootstrap and a network.

debian_make() {
    local base=${DEBIAN_BASE:-$1}
    if [ ! -e "$base/.made" ]; then
        debootstrap --variant=minbase bookworm "$base" >"$base.log" 2>&1 || {
            tail -n 20 "$base.log"
            return 3
        }
        touch "$base/.made"
    fi
    [ "$base" = "$1" ] || cp -a "$base" "$1"
    cp /etc/resolv.conf "$1/etc/resolv.conf"
}

debian_in() {
    local folder=$1
    shift
    unshare --mount --pid --fork sh -c '
        mount -t proc proc "$1/proc" && mount --rbind /dev "$1/dev" || exit 3
        root=$1
        shift
        exec chroot "$root" env -i PATH=/usr/sbin:/usr/bin:/sbin:/bin HOME=/root LC_ALL=C.UTF-8 \
            DEBIAN_FRONTEND=noninteractive "$@"' sh "$folder" "$@"
}

debian_add() {
    local folder=$1
    shift
    if [ "$1" != -- ]; then
        debian_in "$folder" dpkg --add-architecture "$1" || return 3
        shift
    fi
    shift
    debian_in "$folder" apt-get -qq update >"$folder.log" 2>&1 &&
        debian_in "$folder" apt-get -qq install --no-install-recommends -y "$@" >>"$folder.log" 2>&1 || {
        tail -n 20 "$folder.log"
        return 3
    }
}
