# Slip of a rolling segment. How to read: README.md; sources: sources.md.

```ex Q1 rel=1e-8
src: derived here, two ways (moment about the roll centre; slope of the energy over the rack's travel), tests/mechanics/second_way/slip.py; the rack on the leaf
in: R=0.4 [m]; r=0.00635 [m]; side=0; theta=70 [deg]; leaf=60 0.012 0.03 [kg m m]; friction=4 [N.m]
out: push=45.4312356 [N]; at=70 [deg]; needed=0.0772116125
```

```ex Q2 rel=1e-8
src: the same; a pinion that rides on a rack below it
in: R=0.4 [m]; r=0.00635 [m]; side=-1; theta=70 [deg]; leaf=60 0.02 0.01 [kg m m]; friction=4 [N.m]
out: push=40.0558364 [N]; at=0 [deg]; needed=0.0680759763
```
