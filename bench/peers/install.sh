#!/bin/sh
# Brings what the tests and `make bench` judge this project by: Debian packages, small
# programs built around some of them (build.sh), and the npm packages of bench/.
# Quick when everything is there. Without root, or where there is no apt-get, it says
# what to install and ends with 1.
set -eu
cd "$(dirname "$0")"

# file or program that shows a package is there, and the package
packages='
g++                                                g++
pdftotext                                          poppler-utils
zbarimg                                            zbar-tools
rsvg-convert                                       librsvg2-bin
hb-shape                                           libharfbuzz-bin
chromium                                           chromium
node                                               nodejs
npm                                                npm
sqlite3                                            sqlite3
cbc                                                coinor-cbc
minizinc                                           minizinc
/usr/include/lib3mf/Model/COM/NMR_DLLInterfaces.h  lib3mf-dev
/usr/include/CGAL/Surface_mesh.h                   libcgal-dev
/usr/include/assimp/scene.h                        libassimp-dev
/usr/include/GL/osmesa.h                           libosmesa6-dev
/usr/include/lemon/dimacs.h                        liblemon-dev
/usr/lib/python3/dist-packages/cv2*.so             python3-opencv
/usr/lib/python3/dist-packages/scipy               python3-scipy
/usr/lib/python3/dist-packages/jsonschema          python3-jsonschema
/usr/lib/python3/dist-packages/icalendar           python3-icalendar
'

missing() { # the packages that are not there
    echo "$packages" | while read -r sign package; do
        case $sign in
        '') ;;
        /*) ls -d $sign >/dev/null 2>&1 || echo "$package" ;; # unquoted: may hold a star
        *) command -v "$sign" >/dev/null || echo "$package" ;;
        esac
    done
}

want=$(missing | tr '\n' ' ')
if [ -n "$want" ]; then
    if [ "$(id -u)" != 0 ] || ! command -v apt-get >/dev/null; then
        echo "The tests compare with other programs, of which some are missing. As root on Debian:" >&2
        echo "  apt-get update && apt-get install -y --no-install-recommends $want" >&2
        echo "Elsewhere install what these packages hold. \`go test ./...\` runs the rest without them." >&2
        exit 1
    fi
    echo "installing $want" >&2
    export DEBIAN_FRONTEND=noninteractive
    apt-get update -q >&2
    apt-get install -q -y --no-install-recommends $want >&2
    want=$(missing | tr '\n' ' ')
    if [ -n "$want" ]; then
        echo "still missing after apt-get install: $want" >&2
        exit 1
    fi
fi

./build.sh

cd ..
if ! cmp -s package-lock.json node_modules/.installed; then
    npm ci --ignore-scripts --no-progress >&2
    cp package-lock.json node_modules/.installed
fi
