# Motion profiles. How to read: README.md; sources: sources.md.

```ex P1 rel=1e-8
src: derived here, two ways (closed form; stepwise integration)
in: D=80 [deg]; v_max=2 [deg/s]; acc=0.5 [deg/s2]; dec=0.5 [deg/s2]; t=2 4 20 42 44 [s]
out: v_peak=2 [deg/s]; t_acc=4 [s]; t_cruise=36 [s]; t_dec=4 [s]; T=44 [s]; pos=1 4 36 79 80 [deg]
```

```ex P2 rel=1e-8
src: derived here, two ways (closed form; stepwise integration): too short to reach v_max
in: D=6 [deg]; v_max=2 [deg/s]; acc=0.5 [deg/s2]; dec=0.5 [deg/s2]
out: v_peak=1.73205081 [deg/s]; t_acc=3.46410162 [s]; t_cruise=0 [s]; T=6.92820323 [s]
```

```ex P3 rel=1e-8
src: inputs and formula v_peak=sqrt(2 a b D/(a+b)) published at S17 (first source); numbers computed and integrated here
in: D=100 [m]; acc=2 [m/s2]; dec=4 [m/s2]
out: v_peak=16.3299316 [m/s]; t_acc=8.16496581 [s]; t_dec=4.0824829 [s]; T=12.2474487 [s]
```

```ex P4 rel=1e-8
src: derived here, two ways (closed form; stepwise integration)
in: D=80 [deg]; v_fast=2 [deg/s]; v_slow=0.3 [deg/s]; acc=0.5 [deg/s2]; dec=0.5 [deg/s2]; dec_final=0.5 [deg/s2]; slow_zone=3 [deg]
out: t_acc=4 [s]; t_cruise=34.545 [s]; t_dec=3.4 [s]; t_creep=9.7 [s]; t_stop=0.6 [s]; T=52.245 [s]; pos_start_dec=73.09 [deg]
```

```ex P5 rel=1e-8
src: derived here, two ways (closed form; 7-segment integration); case cruise
in: D=80 [deg]; v_max=2 [deg/s]; a_max=0.5 [deg/s2]; j_max=0.25 [deg/s3]
out: v_peak=2 [deg/s]; a_peak=0.5 [deg/s2]; t_jerk=2 [s]; t_const_acc=2 [s]; t_cruise=34 [s]; T=46 [s]
out: t_sample=1 3 5 6 20 40 [s]; pos_sample=0.0416666667 1.08333333 4.04166667 6 34 74 [deg]
```

```ex P6 rel=1e-8
src: derived here, two ways (closed form; 7-segment integration); case acc-limited
in: D=8 [deg]; v_max=2 [deg/s]; a_max=0.5 [deg/s2]; j_max=0.5 [deg/s3]
out: v_peak=1.76556444 [deg/s]; a_peak=0.5 [deg/s2]; t_jerk=1 [s]; t_const_acc=2.53112887 [s]; t_cruise=0 [s]; T=9.06225775 [s]
```

```ex P7 rel=1e-8
src: derived here, two ways (closed form; 7-segment integration); case jerk-limited
in: D=0.5 [deg]; v_max=2 [deg/s]; a_max=0.5 [deg/s2]; j_max=0.25 [deg/s3]
out: v_peak=0.25 [deg/s]; a_peak=0.25 [deg/s2]; t_jerk=1 [s]; t_const_acc=0 [s]; t_cruise=0 [s]; T=4 [s]
```

```ex P8 rel=1e-8
src: derived here, two ways (closed form; 7-segment integration); case cruise
in: D=40 [deg]; v_max=0.4 [deg/s]; a_max=0.5 [deg/s2]; j_max=0.25 [deg/s3]
out: v_peak=0.4 [deg/s]; a_peak=0.316227766 [deg/s2]; t_jerk=1.26491106 [s]; t_const_acc=0 [s]; t_cruise=97.4701779 [s]; T=102.529822 [s]
```

```ex P9 rel=1e-8
src: textbook example recalled (from memory) (Biagiotti & Melchiorri 2008, double-S section 3.4: 0.7333 1.1433 0.8333 0.3333); re-derived and integrated here
in: q0=0; q1=10; v0=1; v1=0; v_max=5; a_max=10; j_max=30
out: T_a=0.733333333 [s]; T_v=1.14333333 [s]; T_d=0.833333333 [s]; T_j=0.333333333 [s]; T=2.71 [s]
```
