# Trim weights in pockets. How to read: README.md; sources: sources.md.

```ex B3 rel=1e-8
src: derived here, two ways (Cramer; elimination)
in: g=9.80665 [m/s2]; toe_reaction_target=6 [N]; x_toe=2.4 [m]; alpha_target=30 [deg]; S_base=4.1 1.7 [kg.m]; slot1=-0.52 -0.3 [m]; slot2=-0.3 0.28 [m]
out: Sx_target=1.46839135 [kg.m]; Sy_target=0.847776139 [kg.m]
```

```ex B4 rel=1e-7
src: derived here, two ways (exhaustive 13^3 enumeration; moments re-summed); runner-up error 0.04109 vs best 0.02417 kg2.m2 | tolerance note: counts exact; rel 1e-7
in: targets_and_base_as=B3; slots_xy=-0.52 -0.3 -0.52 0.1 -0.3 0.28 [m]; block_mass=0.25 [kg]; n_max=12
out: counts=12 8 0; err_Sx=0.0316086533 [kg.m]; err_Sy=0.152223861 [kg.m]; toe_reaction=6.12915625 [N]; alpha=33.6900675 [deg]
out: counts_n_max_24=16 2 4; err_Sx_24=-0.00839134669 [kg.m]; err_Sy_24=-0.0177761393 [kg.m]; toe_reaction_24=5.96571208 [N]; alpha_24=29.6179337 [deg]
```
