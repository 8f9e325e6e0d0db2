// SPDX-License-Identifier: GPL-3.0-or-later
// R6: one quarter (x > 0, y > 0) of three steel poles (d 5, z -14..4, x = -10, 0, 10) fused with
// a steel plate 34 x 12 x 2 (z -12..-10) above a bar magnet 34 x 10 x 4 (z -18.3..-14.3).
// Level 0, 1 or 2: gmsh -setnumber level 1.
SetFactory("OpenCASCADE");
DefineConstant[ level = 0, inner = 45, half = 0.1 ];
outer = 1.4 * inner; centre = -7;
reach = 20; e = 1e-3;
Cylinder(1) = {0, 0, -14, 0, 0, 18, 2.5};
Cylinder(2) = {10, 0, -14, 0, 0, 18, 2.5};
Box(3) = {-20, -20, -12, 40, 40, 2};
Box(4) = {0, 0, -12, 17, 6, 2};
Box(5) = {0, 0, -18.3, 17, 5, 4};
Box(6) = {0, 0, -30, 40, 40, 60};
whole() = BooleanIntersection{ Volume{1:2}; Delete; }{ Volume{6}; };
Delete { Volume{3}; }
plate() = BooleanUnion{ Volume{4}; Delete; }{ Volume{whole()}; Delete; };
Box(101) = {-1, -1, -6 - half, 4, 4, 2 * half}; // slab about z = -6 in the middle pole
Box(102) = {-1, -1, -half, 4, 4, 2 * half}; // slab about z = 0
slab1() = BooleanIntersection{ Volume{plate()}; }{ Volume{101}; Delete; };
slab2() = BooleanIntersection{ Volume{plate()}; }{ Volume{102}; Delete; };
Recursive Delete { Volume{6}; }
Sphere(201) = {0, 0, centre, inner, -Pi/2, Pi/2, Pi/2};
Sphere(202) = {0, 0, centre, outer, -Pi/2, Pi/2, Pi/2};
BooleanFragments{ Volume{plate(), slab1(), slab2(), 5, 201, 202}; Delete; }{}
slabA() = Volume In BoundingBox{-e, -e, -6-half-e, 2.5+e, 2.5+e, -6+half+e};
slabB() = Volume In BoundingBox{-e, -e, -half-e, 2.5+e, 2.5+e, half+e};
steel() = Volume In BoundingBox{-e, -e, -14-e, 17+e, 6+e, 4+e};
steel() -= {slabA(), slabB()};
bar() = Volume In BoundingBox{-e, -e, -18.3-e, 17+e, 5+e, -14.3+e};

// The steel's edges, not those of the slabs nor lines in the mirror planes.
edges() = {};
all() = Curve In BoundingBox{-e, -e, -14-e, 17+e, 6+e, 4+e};
For i In {0:#all()-1}
  box() = BoundingBox Curve{all(i)};
  flat = Fabs(box(2) - box(5)) < 0.1;
  inPlane = box(4) < 0.1 || box(3) < 0.1;
  slabEdge = (Fabs(Fabs(box(2) + 6) - half) < 0.01 || Fabs(Fabs(box(2)) - half) < 0.01) && flat;
  If (!inPlane && !slabEdge && (flat || box(3) > 16.9))
    edges() += all(i);
  EndIf
EndFor
Point(9001) = {0, 0, 4.5}; Point(9002) = {0, 0, 6}; Point(9003) = {10, 0, 6}; Point(9004) = {5, 0, 6};
lastPoint = 9004; gap = 0;
others() = {};
Include "shell.geo";
