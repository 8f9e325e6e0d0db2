// SPDX-License-Identifier: GPL-3.0-or-later
// R15: one quarter (x > 0, y > 0) of a box of thin sheet, open below, over a round coil r 3..8, z -5..5. The sheet is a
// surface: walls at x = 15, y = 9 from z = -6 to the top at 6.2. Levels 0, 1, 2: gmsh -setnumber level 1. Lengths in mm, scaled to m.
SetFactory("OpenCASCADE");
DefineConstant[ level = 0, inner = 40, halfX = 15, halfY = 9 ];
outer = 1.4 * inner; e = 1e-3; top = 6.2; bottom = -6;
Box(1) = {0, 0, bottom, halfX, halfY, top - bottom};
Cylinder(2) = {0, 0, -5, 0, 0, 10, 3, Pi / 2};
Cylinder(3) = {0, 0, -5, 0, 0, 10, 8, Pi / 2};
Sphere(201) = {0, 0, 0, inner, -Pi/2, Pi/2, Pi/2};
Sphere(202) = {0, 0, 0, outer, -Pi/2, Pi/2, Pi/2};
BooleanFragments{ Volume{1, 2, 3, 201, 202}; Delete; }{}
coil() = Volume In BoundingBox{-e, -e, -5-e, 8+e, 8+e, 5+e};
ball() = Volume In BoundingBox{-e, -e, -inner-e, inner+e, inner+e, inner+e};
shell() = Volume{:}; shell() -= ball();
air() = ball(); air() -= {coil()};
Physical Volume(1) = coil(); Physical Volume(2) = air(); Physical Volume(3) = shell();
sheet() = Surface In BoundingBox{-e, -e, top-e, halfX+e, halfY+e, top+e};
sheet() += Surface In BoundingBox{halfX-e, -e, bottom-e, halfX+e, halfY+e, top+e};
sheet() += Surface In BoundingBox{-e, halfY-e, bottom-e, halfX+e, halfY+e, top+e};
Physical Surface(4) = sheet();
skin() = CombinedBoundary{ Volume{:}; };
mirror() = {}; far() = {};
For i In {0:#skin()-1}
  box() = BoundingBox Surface{skin(i)};
  If (box(3) < 0.01 || box(4) < 0.01)
    mirror() += skin(i);
  Else
    far() += skin(i);
  EndIf
EndFor
Physical Surface(5) = {mirror(), far()};
scale = 1 / (1 + 0.6 * level);
all() = Curve In BoundingBox{-e, -e, bottom-e, halfX+e, halfY+e, top+e};
Field[1] = Distance; Field[1].SurfacesList = {sheet()}; Field[1].NumPointsPerCurve = 100;
Field[2] = MathEval; Field[2].F = Sprintf("%g * (1.1 + 0.35 * F1)", scale);
Field[3] = MathEval; Field[3].F = Sprintf("%g * (1.3 + 0.3 * Max(0, Sqrt(x^2 + y^2 + z^2) - 11))", scale);
Field[4] = Min; Field[4].FieldsList = {2, 3};
Background Field = 4;
Mesh.CharacteristicLengthExtendFromBoundary = 0; Mesh.CharacteristicLengthFromPoints = 0;
Mesh.ElementOrder = 1; Mesh.Optimize = 1; Mesh.MshFileVersion = 2.2; Mesh.ScalingFactor = 1e-3;
