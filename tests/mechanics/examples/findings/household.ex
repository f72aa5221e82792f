# Measured at home. How to read: README.md; sources: sources.md.

```ex M1 rel=1e-8
src: derived here, two ways (closed form; a general solver on the equations of balance), tests/mechanics/second_way/household.py
in: toe=2.25 [m]; level=61.3 [N]; axis=178.2 [N]; angle=40 [deg]; raised=44.1 [N]
out: mass=24.4222033 [kg]; x=0.575887265 [m]; y=0.192571457 [m]
```

```ex M2 rel=1e-7
src: derived here, two ways (closed form; a general solver on the motor's equation), tests/mechanics/second_way/household.py; both free runs agree
in: free_V=4 6 [V]; free_I=0.62 0.62 [A]; free_n=4716.48194 7567.01824 [rpm]; held_V=0.9 1.8 [V]; held_I=1.05 2.9 [A]; at=6 [V]
out: R=0.486486486 [ohm]; Vb=0.389189189 [V]; Ke=0.00670000001 [V.s/rad]; n0=7567.01823 [rpm]; stall_T=0.0731193334 [N.m]; stall_I=11.5333333 [A]
```

```ex M3 rel=1e-8
src: derived here, two ways (closed form; a general solver), tests/mechanics/second_way/household.py; sector lift, no worm
in: Kt=0.00666 [N.m/A]; R=0.5 [ohm]; I0=0.6 [A]; ratio=400; r=0.00635 [m]; arm=0.3 [m]; eta_gearbox=0.8; eta_rack=0.95; up=0.36 [V]; down=0.34 [V]
out: friction=9.56522835 [N.m]; imbalance=1.91304567 [N.m]
```
