# A hand at the toe of the open leaf. How to read: README.md; sources: sources.md.

```ex B6 rel=1e-6
src: derived here, two ways (moments about an edge; bisection until the ground's reaction leaves the base), tests/mechanics/second_way/bump.py; a tower that only stands: mass, centre, height, front, back
in: theta=75 [deg]; toe=2.3 [m]; leaf=71 0.0198 0.0195 [kg m m]; tower=25 -0.1 1.0 0.2 -0.6; screws=0 0
out: push=69.1784817 [N]; at=75 [deg]
```

```ex B7 rel=1e-6
src: the same, four screws that bear 150 N each behind the axis
in: theta=75 [deg]; toe=2.3 [m]; leaf=71 0.0198 0.0195 [kg m m]; tower=25 -0.1 1.0 0.2 -0.6; screws=600 -0.3
out: push=162.515407 [N]; at=75 [deg]
```

```ex B8 rel=1e-6
src: derived here, two ways (arm and moment; virtual work and bisection), tests/mechanics/second_way/bump.py; rack force on a strut
in: theta=75 [deg]; toe=2.3 [m]; leaf=71 0.0198 0.0195 [kg m m]; pin=0.42 0.26 [m]; pinion=-0.63 0.49 [m]; rack=110 [N]
out: push=10.8041497 [N]; at=1.171875 [deg]
```

```ex B9 rel=1e-6
src: the same as B6; a base that ends close behind the axis: it tips backward
in: theta=75 [deg]; toe=2.3 [m]; leaf=71 0.0198 0.0195 [kg m m]; tower=25 0 1.0 0.6 -0.05; screws=0 0
out: push=11.4446177 [N]; at=75 [deg]
```

```ex B10 rel=1e-6
src: the same as B8; a leaf that gravity opens further
in: theta=75 [deg]; toe=2.3 [m]; leaf=71 0.002 0.05 [kg m m]; pin=0.42 0.26 [m]; pinion=-0.63 0.49 [m]; rack=110 [N]
out: push=7.90557989 [N]; at=75 [deg]
```
