# The whole chain from motor to rack. How to read: README.md; sources: sources.md.

```ex D8 rel=1e-8
src: derived here, two ways (turns count; speed back-substituted)
in: ratio=400; planetary=10; worm=40; N_pinion=16; DP=32 [1/in]; motor_rpm=1000 3000 6000 12000 [rpm]; travel=783.218243 [mm]; time_constant_speed=60 [s]
out: rack_per_pinion_turn=39.8982267 [mm]; rack_per_motor_turn=0.0997455668 [mm]; rack_speed=1.66242611 4.98727834 9.97455668 19.9491134 [mm/s]; pinion_rpm=2.5 7.5 15 30 [rpm]; motor_turns_for_travel=7852.16094 [rev]; motor_rpm_needed=7852.16094 [rpm]; time_at_3000rpm=157.043219 [s]
```

```ex D9 rel=1e-6
src: derived here, two ways (torque chain; power balance leaf x leaf rate = motor power x efficiencies); B1 leaf, G2 strut, r_pinion 0.00635 m, D2 motor (I0, R, and Kt = Ke), D7 worm at mu=0.06
in: theta=0 20 40 60 80 [deg]; T_friction_trunnion=3.5 [N.m]; eta_rack=0.95; eta_worm=0.437769711; eta_worm_back=-0.276131767; eta_planetary=0.85; ratio_worm=40; ratio_planetary=10; motor_rpm=7852.16094 [rpm]
out: T_leaf=30.3211878 23.9073495 15.0320837 4.7658784 -5.6530105 [N.m]
out: F_rack=57.435185 40.0465806 23.9938335 8.34605555 -20.8159229 [N]
out: T_pinion=0.383908868 0.267679776 0.160379835 0.0557867924 -0.125572055 [N.m]
out: T_motor=0.00257930985 0.00179841921 0.00107751949 0.000374806198 0.000101983628 [N.m]
out: I_motor=1.38736966 1.27009281 1.1618256 1.05628969 1.01531625 [A]; V_motor=5.87153757 5.83802989 5.8070964 5.77694329 5.76523659 [V]
```

```ex D13 rel=1e-7
src: derived here, two ways (N h/r; numeric derivative of motor angle vs leaf angle), G2 strut
in: N=400; h_at_0=0.527920085 [m]; r_pinion=0.00635 [m]; I_leaf=80.2409833 [kg.m2]
out: dmotor_dtheta=33254.8085; motor_turns_per_leaf_degree=92.3744681 [rev/deg]; I_leaf_seen_at_motor=7.25583402e-08 [kg.m2]
```
