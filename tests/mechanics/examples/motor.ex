# Brushed motors by their sheets. How to read: README.md; sources: sources.md.

```ex D2 rel=1e-7
src: inputs and pub_* from RS-540 sheet, S11; outputs derived, checked by scanning efficiency over current | tolerance note: outputs rel 1e-7; vs pub: Kt_naive 1%, 1/Ke against Kv 3%, I_eff 3%, n_eff 1%, eta 1%, T_stall 3%
in: V=12 [V]; n0=16800 [rpm]; I0=1 [A]; T_stall=0.2788 [N.m]; I_stall=42 [A]; pub_Kt=0.0066 [N.m/A]; pub_Kv=1400 [rpm/V]; pub_eta=0.71; pub_n_eff=14525 [rpm]; pub_I_eff=6.6 [A]
out: R=0.285714286 [ohm]; omega0=1759.29189 [rad/s]; Ke=0.00665852313 [V.s/rad]; Kt_from_stall_over_stall_minus_I0=0.0068 [N.m/A]; Kt_naive_Ts_over_Is=0.00663809524 [N.m/A]; T_stall_predicted_with_Kt_eq_Ke=0.272999448 [N.m]
out: I_eff=6.4807407 [A]; n_eff=14554.2331 [rpm]; eta_max=0.715202824; P_max_from_sheet=122.622644 [W]
```

```ex D3 rel=1e-7
src: columns RF-500TB (Mabuchi sheet S12; pub at max eff 4630 rpm, 0.13 A, 1.79 mN.m, 0.86 W), AM-9015 550-size and RS-550 (S13; pub P_max 134 and 190 W); outputs derived | tolerance note: rel 1e-7; published figures to 3%
in: V=12 12 12 [V]; n0=5500 14270 19000 [rpm]; I0=0.025 3.7 0.4 [A]; T_stall=0.0113 0.36 0.38 [N.m]; I_stall=0.71 71 84 [A]
out: R=16.9014085 0.169014085 0.142857143 [ohm]; Ke=0.0201012082 0.00761176498 0.006002415 [V.s/rad]; Kt_stall=0.0164963504 0.00534918276 0.00454545455 [N.m/A]
out: I_eff=0.133229126 16.2080227 5.7965507 [A]; n_eff=4631.00702 11617.8531 17773.5112 [rpm]; eta_max=0.659917955 0.595548656 0.866748793; P_max=1.6270832 134.491582 189.019158 [W]
out: RF500_n_at_1p79mNm=4628.76106 [rpm]; RF500_I_at_1p79mNm=0.13350885 [A]
```

```ex D11 rel=1e-7
src: lancet.mit.edu/motor/motors4.html (confirmed): stall torque, no-load rpm and the maximum-power point of three gearmotors; P_max=T_s w_0/4 | tolerance note: published digits; P rel 1e-7
in: n0=600 3750 92 [rpm]; T_stall=0.325 0.0722 1.6 [N.m]
out: n_half=300 1875 46 [rpm]; T_half=0.1625 0.0361 0.8 [N.m]; P_max=5.10508806 7.08821842 3.85368699 [W]
```
