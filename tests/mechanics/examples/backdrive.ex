# Whether the drive holds the span, motor off. How to read: README.md; sources: sources.md.

```ex BD1 rel=1e-6
src: derived here, two ways (efficiencies of the driven-back chain; forces on the worm's thread, moment as the difference of potential energy, arm as a cross product, root by Brent's method in scipy); leaf B1, strut G2
in: lead=4.8 4.8 2.86240523 4.8 [deg]; mu=0.05 0.05 0.06 0.05; trunnion_friction=3.5 3.5 3.5 3.5 [N.m]
in: motor_rest=0.003 0 0.003 0.0001 [N.m]; ratio_worm=40; ratio_planetary=10; eta_planetary=0.85; eta_rack=0.95
out: margin=4.63594915 0.633647755 5.24408405 0.826180503; torque_at_motor=0.000206538712 0.000206538712 0 0.000206538712 [N.m]
```

```ex BD2 rel=1e-6
src: as BD1, without a worm: a brake on the motor's shaft; and a stiff trunnion with nothing else
in: brake=0.05 0 [N.m]; trunnion_friction=3.5 60 [N.m]; ratio_planetary=10; eta_planetary=0.85; eta_rack=0.95
out: margin=1.86257563 2.2370374; torque_at_motor=0.0226515923 0 [N.m]
```

```ex BD3 rel=1e-6
src: as BD1; a push at the toe that just turns the drive back, a root by Brent's method at each place
in: has_worm=1 1 0; stop=0.003 0.0003 0.05 [N.m]; trunnion_friction=3.5 3.5 3.5 [N.m]; toe=2.3 [m]
in: lead=4.8 [deg]; mu=0.05; ratio_worm=40; ratio_planetary=10; eta_planetary=0.85; eta_rack=0.95
out: push=73.3054125 4.86740356 9.05574011 [N]; at=80 1.25 80 [deg]
```
