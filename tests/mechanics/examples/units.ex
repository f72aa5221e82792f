# Units of torque, force and speed. How to read: README.md; sources: sources.md.

```ex U1 rel=1e-8
src: unit definitions; pairs published on the motor sheets S11-S13: 39.48 oz-in=278.8 mN.m, 2.467 in-lb=0.2788 N.m, 4.409 in-lb=0.4982 N.m, 115 g.cm=11.3 mN.m
in: g=9.80665 [m/s2]; inch=0.0254 [m]; lb=0.45359237 [kg]
out: ozin_to_Nm=0.00706155181; gcm_to_Nm=9.80665e-05; inlb_to_Nm=0.112984829; lbf_to_N=4.44822162; mph_to_mps=0.44704
```
