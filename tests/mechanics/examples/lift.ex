# Geometry of the five kinds of lift. How to read: README.md; sources: sources.md.

```ex G1 rel=1e-8
src: derived here, two ways (pitch-line rolling; tooth-count ratio; work balance)
in: N_sector=640; N_pinion=16; DP=32 [1/in]; theta=75 [deg]; M=18 [N.m]
out: R_sector=0.254 [m]; r_pinion=0.00635 [m]; arc_travel=0.332485223 [m]; pinion_turns=8.33333333 [rev]; ratio=40; T_pinion=0.45 [N.m]
```

```ex G2 rel=1e-7
src: derived here, two ways (law of cosines vs rotated coordinates; h vs central difference of D and vs cross product)
in: P_closed=0.55 0.3 [m]; Q_pinion=-0.45 0.85 [m]; theta=0 20 40 60 80 [deg]; v_rack=0.005 [m/s]
out: a=0.626498204 [m]; b=0.961769203 [m]; psi0=89.2868114 [deg]; theta_dead_inner=89.2868114 [deg]; theta_dead_outer=-90.7131886 [deg]; D_min=0.335270999 [m]; D_max=1.58826741 [m]
out: travel=0 0.19720007 0.412264867 0.62509355 0.783218243 [m]
out: h=0.527920085 0.596988535 0.626497791 0.57103363 0.271571457 [m/rad]
out: leaf_rate_at_v_rack=0.542655803 0.479873366 0.457270404 0.501684809 1.05489325 [deg/s]
```

```ex G3 rel=1e-6
src: derived here, two ways (travel = -dS - sigma r d(delta); arm vs central difference of travel)
in: P_closed=0.55 0.3 [m]; Q_pinion=-0.45 0.85 [m]; r_pinion=0.00635 [m]; theta=0 20 40 60 80 [deg]
out: travel_sp_e0=0 0.196633734 0.411439689 0.62472522 0.78505154 [m]
out: arm_sp_e0=0.526034946 0.595696971 0.626480295 0.574160905 0.281541437 [m]
out: travel_sm_e0=0 0.197759026 0.413070065 0.625419092 0.781307659 [m]
out: arm_sm_e0=0.529788881 0.598253089 0.626467752 0.567819932 0.261516055 [m]
out: travel_sm_e015=0 0.197779625 0.413125841 0.62553857 0.781523617 [m]
out: arm_sm_e015=0.529834493 0.598328479 0.626600477 0.568061423 0.261755148 [m]
```

```ex G4 abs=1e-7
src: derived here, two ways (arccos inverse; bisection) | tolerance note: abs 1e-7 deg
in: same_geometry_as=G2
out: theta_of_max_arm=39.9341876 [deg]; max_arm=0.626498204 [m]; travel_max_before_dead_centre=0.806000222 [m]
```

```ex G5 rel=1e-8
src: derived here, two ways (closed form; RK4 integration of rotation about the moving contact point; torque by moments and by energy)
in: R_roll=0.4 [m]; theta=70 [deg]; toe_from_roll_centre=2.2 -0.05 [m]; cw_point=-0.55 0.1 [m]; r_pinion=0.00635 [m]; M=12 [N.m]
out: centre_shift=-0.488692191 [m]; toe_xy_after=0.310736756 2.45022276 [m]; cw_xy_after=-0.770772531 -0.0826289271 [m]; toe_retreat=1.88926324 [m]
out: below_pinion_turns_in_leaf=12.0540245 [rev]; below_F_rack=30.4839324 [N]; below_T_pinion=0.193572971 [N.m]
out: above_pinion_turns_in_leaf=12.4429134 [rev]; above_F_rack=29.5311923 [N]; above_T_pinion=0.187523071 [N.m]
```

```ex G6 rel=1e-8
src: derived here, two ways (force count; derivative of potential energy)
in: drum_diameter=0.06 [m]; lift=0.8 [m]; W_span=300 [N]; W_cw=299 [N]; rope_weight=0.9 [N/m]; ropes=4; span_side_len0=1.2 [m]; cw_side_len0=0.4 [m]; y=0 0.4 0.8 [m]
out: drum_turns_full=4.24413182 [rev]; net_down_force=3.88 1 -1.88 [N]; drum_torque=0.1164 0.03 -0.0564 [N.m]; y_balance=0.538888889 [m]
```

```ex G7 rel=1e-6
src: derived here, two ways (parallel axis; strip sum of 2000 elements)
in: R_rack=0.2 [m]; r_pinion=0.00635 [m]; L_tip=1.5 [m]; L_back=0.9 [m]; width=0.25 [m]; mass=30 [kg]; theta=90 [deg]; T_total=40 [s]; t_ramp=8 [s]; T_friction=1.2 [N.m]
out: pinion_turns=7.87401575 [rev]; I_pivot=17.25625 [kg.m2]; omega_max=0.0490873852 [rad/s]; alpha=0.00613592315 [rad/s2]; T_rack_circle_peak=1.30588302 [N.m]; T_pinion_peak=0.041461786 [N.m]; tip_corner_radius=1.50519932 [m]; tip_chord=2.12132034 [m]
```
