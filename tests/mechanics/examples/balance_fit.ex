# Balance and friction from measured torques. How to read: README.md; sources: sources.md.

```ex T1 rel=1e-8
src: derived here, two ways (generated from the model; exact-rational least squares returns it)
in: theta=0 10 20 30 40 50 60 70 80 [deg]
in: T_raise=30.32 27.47799648 23.90743368 19.71680133 15.03342968 9.999620599 4.768323839 -0.5015102994 -5.649760572 [N.m]
in: T_lower=23.32 20.47799648 16.90743368 12.71680133 8.033429677 2.999620599 -2.231676161 -7.501510299 -12.64976057 [N.m]
out: A=26.82 [N.m]; B=-14.02 [N.m]; F=3.5 [N.m]; WL=30.26339042 [N.m]; alpha=27.59805852 [deg]; rms_resid=0 [N.m]
out: imbalance_half_sum=26.82 23.97799648 20.40743368 16.21680133 11.53342968 6.499620599 1.268323839 -4.001510299 -9.149760572 [N.m]
```

```ex T2 rel=1e-8
src: derived here, two ways (exact-rational 3-column least squares; half-sum/half-difference normal equations)
in: theta=0 10 20 30 40 50 60 70 80 [deg]
in: T_raise=30.62 27.26 24.02 19.37 15.11 10.25 4.6 -0.48 -5.7 [N.m]
in: T_lower=23.2 20.76 16.82 12.87 7.72 3.06 -2.02 -7.68 -12.62 [N.m]
out: A=26.8480624 [N.m]; B=-14.0550714 [N.m]; F=3.49666667 [N.m]; SSE=0.668060827; dof=15; s_resid=0.211038832 [N.m]
out: se_A=0.0863032966 [N.m]; se_B=0.096490019 [N.m]; se_F=0.0497423297 [N.m]; cov_AB=-0.00528014699; WL=30.3045127 [N.m]; se_WL=0.11039917 [N.m]; alpha=27.632243 [deg]; se_alpha=0.127821003 [deg]
```

```ex T7 rel=1e-7
src: derived here, two ways (worm torque relations; gains recovered from a known test weight at y=0); signed motor torque, + = raising sense; currents with D2 I0 and Kt = Ke
in: worm_lambda=2.86240523 [deg]; mu=0.06; phi_n=20 [deg]; h_strut=0.527920085 [m]; r_pinion=0.00635 [m]; i_worm=40; i_planetary=10; eta_planetary=0.85; M_true=20 [N.m]; F_true=3.5 [N.m]; test_mass=0.5 [kg]; x_toe=2.4 [m]; theta=0 [deg]
out: tau_raise_0=0.00189910412 [N.m]; tau_lower_0=-0.000161185859 [N.m]; tau_raise_test=0.00285010919 [N.m]; tau_lower_test=-0.000276145373 [N.m]; gain_raise=8.08129412e-05; gain_lower=-9.76883997e-06; M_est=20 [N.m]; F_est=3.5 [N.m]
out: naive_half_sum_M_est=24.562509 [N.m]; coef_on_M=1.00408714; coef_on_F=1.28021891; I_raise_0=1.28521402 [A]; I_lower_0=1.02420745 [A]; amps_per_Nm_leaf_raising=0.0121367666 [A]
```

```ex T8 rel=1e-8
src: derived here: slow hand lift / let-down with a spring scale at the toe
in: F_up=12.9 [N]; F_down=9.5 [N]; x_toe=2.4 [m]
out: M0=26.88 [N.m]; F_friction_moment=4.08 [N.m]; toe_reaction=11.2 [N]
```
