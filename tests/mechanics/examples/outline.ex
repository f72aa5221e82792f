# Room an opening span needs. How to read: README.md; sources: sources.md.

```ex G8 rel=1e-7
src: derived here, two ways (arc maximum r at 90-phi0; 200001-point scan)
in: trunnion_height=1.1 [m]; ceiling=3.6 [m]; theta_max=82 [deg]
in: toe_deck=2.4 0.05 [m]; toe_top=2.1 0.45 [m]; hip=0.7 0.62 [m]
out: height_at_theta_max=3.48360202 3.24219084 1.87947497 [m]
out: max_height=3.48360202 3.24767316 2.03509358 [m]; theta_of_max=82 77.9052429 48.4682293 [deg]; clearance=0.11639798 [m]
```

```ex G9 rel=1e-7
src: derived here, two ways (arc extremes at phi=180/270 deg; 100001-point scan)
in: theta_max=82 [deg]; trunnion_height_above_floor=0.75 [m]; rear_wall_x=-0.75 [m]
in: low_back=-0.62 -0.28 [m]; high_back=-0.62 0.2 [m]; low_front=-0.4 -0.28 [m]; high_front=-0.4 0.2 [m]
out: x_min=-0.62 -0.651459899 -0.4 -0.447213595 [m]; y_min=-0.680294054 -0.586131582 -0.488262225 -0.368272607 [m]; clear_behind=0.098540101 [m]; clear_below=0.0697059459 [m]
```

```ex G10 abs=1e-12
src: derived here, two ways (highest and lowest corner at the end of its own way; scan of 20001 positions in numpy)
in: axis_height=0.965 [m]; ceiling=1.72 [m]; floor=0.6 [m]; wall_x=-0.75 [m]; rise=0.52 [m]
in: span_foot=0.6 0 [m]; span_top=-0.5 0.254 [m]; weight_top=-0.68 0.135 [m]; weight_foot=-0.56 0.1 [m]
out: span_above=-0.019 [m]; span_below=0.365 [m]; span_behind=0.25 [m]
out: weight_above=0.62 [m]; weight_below=-0.055 [m]; weight_behind=0.07 [m]
```
