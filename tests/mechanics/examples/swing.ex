# How a swing span stands on its pivot. How to read: README.md; sources: sources.md.

```ex SW1 rel=1e-8
src: derived here, two ways (closed form; scan of 360001 directions to the edge of the wheels' polygon in numpy)
in: item_long=7 0.6 0.03 [kg m m]; item_short=4 -0.35 0 [kg m m]; item_weight=4.9 -0.37 -0.02 [kg m m]
in: bearing=0.005 [m]; wheels_radius=0.12 0.12 [m]; wheels=4 3
out: offset=0.0624738543 [m]; tipping=9.74128166 [N.m]; held=0.0848528137 0.06 [m]; wheel_load=81.1773471 81.1773471 [N]
```

```ex SW2 rel=1e-8
src: derived here, two ways (moments about the pivot; equilibrium as a system of three equations in numpy)
in: item_long=7 0.6 0.03 [kg m m]; item_short=4 -0.35 0 [kg m m]; item_weight=4.9 -0.37 -0.02 [kg m m]
in: toe=1.2 [m]; heel=0.7 [m]; wedge=0 6 [N]
out: toe_load=8.06596963 11.5659696 [N]; heel_load=0 6 [N]; pivot_load=147.859765 138.359765 [N]
```
