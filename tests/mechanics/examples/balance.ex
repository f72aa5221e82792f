# Moments, inertia and toe reaction of a leaf. How to read: README.md; sources: sources.md.

```ex B1 rel=1e-7
src: derived here, two ways (moment sum; central difference of potential energy; WL cos(theta+alpha))
in: g=9.80665 [m/s2]; x_toe_bearing=2.4 [m]; theta=0 20 40 60 80 [deg]
in: item_deck=14 1.2 0.02 [kg m m]; item_trusses=16.5 1.05 0.3 [kg m m]; item_toe=1.2 2.3 0.05 [kg m m]; item_heel=4 -0.2 0.05 [kg m m]; item_cw=58 -0.575 -0.07 [kg m m]
out: mass=93.7 [kg]; Sx=2.735 [kg.m]; Sy=1.43 [kg.m]; W=918.883105 [N]; L=0.0329378882 [m]; alpha=27.6029047 [deg]; theta_zero=62.3970953 [deg]
out: M=26.8211878 20.4073495 11.5320837 1.2658784 -9.1530105 [N.m]; toe_reaction_total=11.1754949 [N]; M_as_pct_of_leaf_only_moment_at_0=7.57932659 [%]
```

```ex B5 rel=1e-7
src: derived here, two ways (parallel axis; 200x200 grid sum) | tolerance note: rel 1e-7 (grid check 1e-4)
in: rect_m_x_y_len_hgt=14 1.2 0.02 2.4 0.04 16.5 1.05 0.3 2.1 0.6 1.2 2.3 0.05 0.1 0.1 4 -0.2 0.05 0.4 0.3 58 -0.575 -0.07 0.24 0.4 [kg m m m m]; accelerate_to=1.5 [deg/s]; in_time=4 [s]
out: I_trunnion=80.2409833 [kg.m2]; alpha=0.00654498469 [rad/s2]; T_inertia=0.525176008 [N.m]
```

```ex I1 rel=1e-8
src: published result I=7/36 m L^2 for a rod about a point L/3 from its centre (S22); strip sum here
in: m=14 [kg]; L=2.4 [m]
out: I_centre=6.72 [kg.m2]; I_end=26.88 [kg.m2]; I_L_over_3=15.68 [kg.m2]
```
