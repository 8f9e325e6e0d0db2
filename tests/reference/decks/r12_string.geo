// SPDX-License-Identifier: GPL-3.0-or-later
// R12: one half (y > 0) of A6's six steel poles (d 5, z -14..4, x = +-5.1, +-15.3, +-25.5) between
// its two bars (60 x 10 x 4, centres y = +-8, z = -9), a string above (wire d 0.43, |y| < 30, its axis
// at x = 5.1, z = stringZ) and the room of a coil around the pole below it (r 3..5, z -5..3).
SetFactory("OpenCASCADE");
DefineConstant[ level = 0, inner = 60, stringZ = 7.2 ];
outer = 1.4 * inner; centre = -4;
reach = 33; e = 1e-3;
Box(10) = {-40, 0, -30, 80, 40, 60};
For i In {0:5}
  Cylinder(1 + i) = {-25.5 + 10.2 * i, 0, -14, 0, 0, 18, 2.5};
EndFor
Cylinder(21) = {5.1, 0, -5, 0, 0, 8, 5}; // the coil and what it surrounds
Cylinder(22) = {5.1, 0, stringZ, 0, 30, 0, 0.215};
parts() = BooleanIntersection{ Volume{1:6, 21}; Delete; }{ Volume{10}; Delete; };
Box(102) = {-30, 3, -11, 60, 10, 4};
Sphere(201) = {0, 0, centre, inner, -Pi/2, Pi/2, Pi};
Sphere(202) = {0, 0, centre, outer, -Pi/2, Pi/2, Pi};
BooleanFragments{ Volume{parts(), 22, 102, 201, 202}; Delete; }{}
steel() = {};
For i In {0:5}
  steel() += Volume In BoundingBox{-28-e+10.2*i, -e, -14-e, -23+e+10.2*i, 2.5+e, 4+e};
EndFor
poleInCoil() = Volume In BoundingBox{2.6-e, -e, -5-e, 7.6+e, 2.5+e, 3+e};
steel() -= poleInCoil();
coil() = Volume In BoundingBox{0.1-e, -e, -5-e, 10.1+e, 5+e, 3+e};
coil() -= poleInCoil();
wire() = Volume In BoundingBox{4, -e, 6, 6, 30+e, 8};
bar() = Volume In BoundingBox{-30-e, 3-e, -11-e, 30+e, 13+e, -7+e};
Physical Volume(33) = poleInCoil(); Physical Volume(31) = coil(); Physical Volume(21) = wire();
slabA() = {}; slabB() = {};
others() = {poleInCoil(), coil(), wire()};

edges() = {}; nearEdges() = {}; // of all poles, of the one in the coil
For i In {0:5}
  all() = Curve In BoundingBox{-28-e+10.2*i, -e, -14-e, -23+e+10.2*i, 2.5+e, 4+e};
  For j In {0:#all()-1}
    box() = BoundingBox Curve{all(j)};
    If (box(4) > 1 && (box(2) > 3.9 || box(5) < -13.9))
      edges() += all(j);
      If (i == 3)
        nearEdges() += all(j);
      EndIf
    EndIf
  EndFor
EndFor
Point(9001) = {5.1, 0, 6}; Point(9002) = {0, 0, 7};
lastPoint = 9002; gap = 1;
// Fine around the string's axis, less so towards its end; even within the coil; finest at the
// edges of the pole in the coil, where the field has no limit.
Field[61] = MathEval;
Field[61].F = Sprintf("%g * (1 + 0.02 * y) + %g * Max(0, Sqrt((x - 5.1)^2 + (z - %g)^2 + Max(0, y - 30)^2) - 0.215)",
                     0.14 / (1 + 0.6 * level), 0.45 * (1 - 0.2 * level), stringZ);
Field[62] = Box; Field[62].XMin = 0; Field[62].XMax = 10.2; Field[62].YMin = 0; Field[62].YMax = 5.1;
Field[62].ZMin = -5.1; Field[62].ZMax = 4; Field[62].VIn = 0.9 / (1 + 0.6 * level); Field[62].VOut = 1e3;
Field[63] = Distance; Field[63].CurvesList = {nearEdges()}; Field[63].NumPointsPerCurve = 1000;
Field[64] = MathEval;
Field[64].F = Sprintf("%g + %g * F63", 0.05 / (1 + 0.6 * level)^2, 0.45 * (1 - 0.2 * level));
Field[6] = Min; Field[6].FieldsList = {61, 62, 64};
Include "shell.geo";
