#!/bin/sh
# Builds the small programs that judge our files by other libraries, into
# bench/peers/bin (not kept in the history):
#
#   read3mf    lib3mf, strict: warnings, objects, triangles, closedness
#   write3mf   lib3mf: how long it takes to write a mesh
#   checkmesh  CGAL: closed, outward, degenerate or crossing triangles, volume
#   meshtop    assimp and Mesa: how long a mesh takes to be read and drawn from above
#   mincost    LEMON: how long a flow of least cost takes
#
# Debian packages: g++ lib3mf-dev libcgal-dev libassimp-dev libosmesa6-dev liblemon-dev. A program is built again only when its
# source is newer. CGAL takes about a minute.
set -eu
cd "$(dirname "$0")"
mkdir -p bin

build() { # build NAME SOURCE FLAGS...
    name=$1 source=$2
    shift 2
    if [ -x "bin/$name" ] && [ "bin/$name" -nt "$source" ]; then
        return
    fi
    echo "building $name" >&2
    g++ -std=c++17 -O2 -o "bin/$name.new" "$source" "$@"
    mv "bin/$name.new" "bin/$name"
}

build read3mf lib3mf/read3mf.cpp -I/usr/include/lib3mf -l3MF
build write3mf lib3mf/write3mf.cpp -I/usr/include/lib3mf -l3MF
build checkmesh cgal/checkmesh.cpp -DCGAL_NDEBUG -lgmp -lmpfr
build meshtop mesa/meshtop.cpp -lassimp -lOSMesa
build mincost lemon/mincost.cpp -llemon
