# Play of the gears. How to read: README.md; sources: sources.md.

```ex K1 rel=9e-4
src: derived here, two ways (sum by ratios; each shaft turned in turn, the strut's length solved for the angle), tests/mechanics/second_way/backlash.py
in: gearbox=1 [deg]; wheel=0.5 [deg]; worm=25; r=0.00635 [m]; rack=0.1 [mm]; pin=0.42 0.26 [m]; pinion=-0.63 0.49 [m]; toe=2.3 [m]
out: at_rack=0.15984734 [mm]; at_toe=1.069133 [mm]
```
