// SPDX-License-Identifier: GPL-3.0-or-later
// A6, a case with known answers: one quarter (x > 0, y > 0) of six steel poles (d 5, z -14..4,
// x = +-5.1, +-15.3, +-25.5) between two bars 60 x 10 x 4 (centres y = +-8, z = -9).
SetFactory("OpenCASCADE");
DefineConstant[ level = 0, inner = 60, half = 0.1 ];
outer = 1.4 * inner; centre = -4;
reach = 33; e = 1e-3;
Box(10) = {0, 0, -30, 40, 40, 60};
For i In {0:2}
  Cylinder(1 + i) = {5.1 + 10.2 * i, 0, -14, 0, 0, 18, 2.5};
EndFor
poles() = BooleanIntersection{ Volume{1:3}; Delete; }{ Volume{10}; Delete; };
Box(101) = {2, -1, -9 - half, 6.2, 4, 2 * half}; // slab about z = -9 in the first pole
slab() = BooleanIntersection{ Volume{poles(0)}; }{ Volume{101}; Delete; };
Box(102) = {0, 3, -11, 30, 10, 4};
Sphere(201) = {0, 0, centre, inner, -Pi/2, Pi/2, Pi/2};
Sphere(202) = {0, 0, centre, outer, -Pi/2, Pi/2, Pi/2};
BooleanFragments{ Volume{poles(), slab(), 102, 201, 202}; Delete; }{}
slabA() = Volume In BoundingBox{2, -e, -9-half-e, 8.2, 2.5+e, -9+half+e};
slabB() = {};
steel() = Volume In BoundingBox{-e, -e, -14-e, 28+e, 2.5+e, 4+e};
steel() -= slabA();
bar() = Volume In BoundingBox{-e, 3-e, -11-e, 30+e, 13+e, -7+e};

edges() = {};
all() = Curve In BoundingBox{-e, -e, -14-e, 28+e, 2.5+e, 4+e};
For i In {0:#all()-1}
  box() = BoundingBox Curve{all(i)};
  If (box(4) > 1 && (box(2) > 3.9 || box(5) < -13.9))
    edges() += all(i);
  EndIf
EndFor
Point(9001) = {5.1, 0, 6}; Point(9002) = {5.1, 0, 7}; Point(9003) = {5.1, 0, 8};
Point(9004) = {5.1, 0, 10}; Point(9005) = {0, 0, 7}; Point(9006) = {5.1, 3, 7};
lastPoint = 9006; gap = 0;
others() = {};
Include "shell.geo";
