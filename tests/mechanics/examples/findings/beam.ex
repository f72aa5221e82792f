# Bending of the leaf. How to read: README.md; sources: sources.md.

```ex S1 rel=1e-7
src: derived here, two ways (closed form; curvature integrated twice), tests/mechanics/second_way/beam.py
in: toe=2.3 [m]; w=120 [N/m]; F=20 [N]; EI=9000
out: sag=0.0466401667 [m]; EI_measured=9000
```

```ex S2 rel=5e-5
src: the same; a train of 1.4 m in the middle of 2.3 m
in: span=2.3 [m]; w=42 [N/m]; length=1.4 [m]; EI=9000
out: bend=0.00139595723 [m]; slope=0.00189330718
```

```ex S3 rel=5e-5
src: derived here, two ways (closed form; thin layers summed); two tubes
in: b=30 [mm]; h=60 [mm]; t=3 [mm]; E=7e10 [Pa]
out: EI=31510.08
```
