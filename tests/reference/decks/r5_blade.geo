// SPDX-License-Identifier: GPL-3.0-or-later
// R5: one quarter (x > 0, y > 0) of a steel blade 60 x 3 x 14 (z -10..4) between two bars
// 60 x 6 x 3 (centres y = +-4.6, z = -8.5). Level 0, 1 or 2: gmsh -setnumber level 1.
SetFactory("OpenCASCADE");
DefineConstant[ level = 0, inner = 60, half = 0.1 ];
outer = 1.4 * inner; centre = -4;
reach = 31; e = 1e-3;
Box(1) = {0, 0, -10, 30, 1.5, 5 - half};
Box(2) = {0, 0, -5 - half, 30, 1.5, 2 * half}; // slab about z = -5
Box(3) = {0, 0, -5 + half, 30, 1.5, 7 - 2 * half};
Box(4) = {0, 0, 2 - half, 30, 1.5, 2 * half};  // slab about z = 2
Box(5) = {0, 0, 2 + half, 30, 1.5, 2 - half};
Box(6) = {0, 1.6, -10, 30, 6, 3};
Sphere(7) = {0, 0, centre, inner, -Pi/2, Pi/2, Pi/2};
Sphere(8) = {0, 0, centre, outer, -Pi/2, Pi/2, Pi/2};
BooleanFragments{ Volume{1:8}; Delete; }{}
bar() = Volume In BoundingBox{-e, 1.6-e, -10-e, 30+e, 7.6+e, -7+e};
slabA() = Volume In BoundingBox{-e, -e, -5-half-e, 30+e, 1.5+e, -5+half+e};
slabB() = Volume In BoundingBox{-e, -e, 2-half-e, 30+e, 1.5+e, 2+half+e};
steel() = Volume In BoundingBox{-e, -e, -10-e, 30+e, 1.5+e, 4+e};
steel() -= {slabA(), slabB()};

// The blade's outer edges, not those of the slabs.
edges() = {};
all() = Curve In BoundingBox{-e, -e, -10-e, 30+e, 1.5+e, 4+e};
For i In {0:#all()-1}
  box() = BoundingBox Curve{all(i)};
  If (box(1) > 1.4 || (box(0) > 29.9 && (box(2) > 3.9 || box(5) < -9.9)))
    If (!(Fabs(box(2) - box(5)) < 0.1 && box(2) > -9.9 && box(5) < 3.9))
      edges() += all(i);
    EndIf
  EndIf
EndFor
Point(9001) = {0, 0, 4.5}; Point(9002) = {0, 0, 5}; Point(9003) = {0, 0, 7};
Point(9004) = {25, 0, 6}; Point(9005) = {29.5, 0, 5}; Point(9006) = {0, 3, 6};
lastPoint = 9006; gap = 1;
Field[6] = Box; Field[6].XMin = 0; Field[6].XMax = 30; Field[6].YMin = 1.4; Field[6].YMax = 1.7;
Field[6].ZMin = -10.1; Field[6].ZMax = -6.9; Field[6].VIn = 0.45 / (1 + 0.6 * level);
Field[6].VOut = 1e3;
others() = {};
Include "shell.geo";
