# What openings cost the motor. How to read: README.md; sources: sources.md.

```ex H3 rel=9e-4
src: derived here, two ways (steps of the travel; integrals over time), tests/mechanics/second_way/duty.py; sector lift, no worm, speeds as parts of the travel
in: theta=70 [deg]; leaf=20 0.3 0.1 [kg m m]; friction=4 [N.m]; R_sector=0.25 [m]; r_pinion=0.00635 [m]; ratio=300; eta_rack=0.95; eta_gearbox=0.8; R=1.2 [ohm]; K=0.02 [V.s/rad]; I0=0.3 [A]; full=0.025; creep=0.00625; gain=0.005
out: duration=43.90625 [s]; copper_up=14.6441047; other_up=86.5793251; copper_down=2.40297593; other_down=86.5793251; rms_up=0.527202689 [A]
```

```ex H4 abs=9e-4
src: derived here, two ways (steps of the travel; adaptive integration), tests/mechanics/second_way/duty.py; the same lift, five openings
in: theta=70 [deg]; leaf=20 0.3 0.1 [kg m m]; friction=4 [N.m]; R_sector=0.25 [m]; r_pinion=0.00635 [m]; ratio=300; eta_rack=0.95; eta_gearbox=0.8; R=1.2 [ohm]; K=0.02 [V.s/rad]; I0=0.3 [A]; full=0.025; creep=0.00625; gain=0.005; Rth=4 8; taus=30 900 [s]; air=30 [degC]; openings=5; every=300 [s]; open=60 [s]
out: hottest=34.5938792 [degC]
```
