# Loads on teeth, axis and seats. How to read: README.md; sources: sources.md.

```ex L2 rel=1e-8
src: derived here, two ways (Lewis's formula; a cantilever of the same strength), tests/mechanics/second_way/loads.py
in: N=12 16 20 24; F=150 [N]; b=8 [mm]; m=0.79375 [mm]
out: stress=96416519.4 79804213.7 73360395.2 70095095.7 [Pa]
```

```ex L3 rel=1e-8
src: derived here, two ways (arm and vector sum; a linear system of three equations), tests/mechanics/second_way/loads.py; raising slowly
in: theta=0 20 40 60 75 [deg]; leaf=71 0.0198 0.0195 [kg m m]; friction=3.2 [N.m]; pin=0.42 0.26 [m]; pinion=-0.63 0.49 [m]
out: rack=49.4003653 27.4842634 10.6397466 -3.37211937 -13.5689553 [N]; axis=687.397657 693.83116 696.070674 696.259855 696.877434 [N]
```

```ex L4 rel=9e-4
src: derived here, two ways (influence lines; wheels pushed along by 1 mm), tests/mechanics/second_way/loads.py; rails from the axis to the toe, a short train
in: toe=2.3 [m]; rail=0 2.3 [m]; mass=6 [kg]; length=1.4 [m]
out: toe_most=40.9321043 [N]; toe_least=0 [N]; axis_most=40.9321043 [N]
```

```ex L5 rel=9e-4
src: the same; rails reach behind the axis, a long train
in: toe=2.0 [m]; rail=-0.5 2.0 [m]; mass=12 [kg]; length=3 [m]
out: toe_most=39.2275807 [N]; toe_least=-2.45190767 [N]; axis_most=61.2927883 [N]
```

```ex L6 rel=9e-4
src: the same; rails reach behind the axis, a short train
in: toe=2.0 [m]; rail=-0.5 2.0 [m]; mass=3 [kg]; length=0.3 [m]
out: toe_most=27.2134538 [N]; toe_least=-5.14849125 [N]; axis_most=34.5684412 [N]
```
