// SPDX-License-Identifier: GPL-3.0-or-later
// Shared end of the three-dimensional geometries: names the regions for scalar_potential.pro,
// finds the outermost sphere and asks for sizes. The caller has set level, inner, outer, centre,
// reach (mm, distance from the centre that holds all parts), steel(), slabA(), slabB(), bar(),
// others() (volumes that the caller has named), edges() (curves of the steel to be fine at) and the points 9001 to lastPoint of the readings.
e = 1e-3;
ball() = Volume In BoundingBox{-inner-e, -e, centre-inner-e, inner+e, inner+e, centre+inner+e};
everything() = Volume{:};
air() = ball(); air() -= {steel(), slabA(), slabB(), bar(), others()};
shell() = everything(); shell() -= ball();
Physical Volume(1) = steel(); Physical Volume(11) = slabA(); Physical Volume(12) = slabB();
Physical Volume(2) = bar(); Physical Volume(3) = air(); Physical Volume(4) = shell();
skin() = CombinedBoundary{ Volume{everything()}; };
far() = {};
For i In {0:#skin()-1}
  box() = BoundingBox Surface{skin(i)};
  tall = box(2) < centre - 0.9 * outer && box(5) > centre + 0.9 * outer;
  If (tall && box(3) > 0.9 * outer && box(4) > 0.9 * outer)
    far() += skin(i);
  EndIf
EndFor
Physical Surface(5) = far();

// Sizes grow from the steel's edges, from the points of the readings and outwards.
scale = 1 / (1 + 0.6 * level);
growth = 0.45 * (1 - 0.2 * level);
Field[1] = Distance; Field[1].CurvesList = {edges()}; Field[1].NumPointsPerCurve = 400;
Field[2] = MathEval; Field[2].F = Sprintf("%g + %g * F1", 0.25 * scale, growth);
Field[3] = Distance; Field[3].PointsList = {9001:lastPoint};
Field[4] = MathEval; Field[4].F = Sprintf("%g + %g * F3", 0.12 * scale, growth);
Field[5] = MathEval;
Field[5].F = Sprintf("(2 + 0.2 * Max(0, Sqrt(x^2 + y^2 + (z - (%g))^2) - %g)) * %g", centre, reach, scale);
fields() = {2, 4, 5};
If (gap > 0) // a field of the caller's own, number 6
  fields() += 6;
EndIf
Field[7] = Min; Field[7].FieldsList = {fields()};
Background Field = 7;
Mesh.CharacteristicLengthExtendFromBoundary = 0; Mesh.CharacteristicLengthFromPoints = 0;
Mesh.ElementOrder = 2; Mesh.SecondOrderLinear = 0; Mesh.Optimize = 1; Mesh.MshFileVersion = 2.2;
