#!/bin/sh
# SPDX-License-Identifier: GPL-3.0-or-later
# solve3d.sh DECK LEVEL INNER [STRING_MU [STRING_Z]]: meshes DECK.geo at a level (0, 1, 2) with the shell at
# INNER mm, solves DECK.pro and prints its readings. Works in a folder of its own that it removes.
set -e
decks=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
gmsh -3 -v 1 -setnumber level "$2" -setnumber inner "$3" -setnumber stringZ "${5:-7.2}" "$decks/$1.geo" -o "$work/mesh.msh"
echo "$1 level $2 shell from $3 mm, nodes $(sed -n '/^\$Nodes/{n;p;q}' "$work/mesh.msh")"
getdp "$decks/$1.pro" -msh "$work/mesh.msh" -name "$work/run" -setnumber ShellInner "$3" -setnumber WireMu "${4:-1}" \
    -solve Static -pos Readings -v 2 -ksp_type cg -pc_type icc -ksp_rtol 1e-11
