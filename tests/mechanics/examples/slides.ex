# Places of sliding weights. How to read: README.md; sources: sources.md.

```ex SL1 rel=1e-7
src: derived here, two ways (choices of free places; bounded least squares of scipy.optimize.lsq_linear, an error of Sx counted 1000 times)
in: wanted=1.46839135 0.84777614 [kg.m]; base_x=4.1 2.9 8 [kg.m]; base_y=1.7 0.9 1 [kg.m]
in: rail_one=3 -0.5 -0.3 -0.1 -0.3 [kg m m m m]; rail_two=2 -0.6 0.1 -0.45 0.4 [kg m m m m]
out: place_one=0.0227971156 0.322797116 0 [m]; place_two=0 0.335410197 0 [m]
out: Sx=1.46839135 1.46839135 5.3 [kg.m]; Sy=1 0.8 0.3 [kg.m]
```

```ex SL2 abs=1e-6
src: as SL1; a row of places each 50 mm with a rail, and two rows: every place of the rows tried in numpy
in: wanted=1.46839135 0.84777614 [kg.m]; base_x=2.9 [kg.m]; base_y=0.9 [kg.m]; step=50 [mm]
in: rail_one=3 -0.5 -0.3 -0.1 -0.3 [kg m m m m]; rail_two=2 -0.6 0.1 -0.45 0.4 [kg m m m m]
out: row=0.35 [m]; rail=0.24416942 [m]; row_rail_Sx=1.46839177 [kg.m]; rows=0.35 0.25 [m]; rows_Sx=1.4736068 [kg.m]
```
