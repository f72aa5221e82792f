# Worm gears: efficiency, locking. How to read: README.md; sources: sources.md.

```ex D6 rel=1e-8
src: formula: Carvill p.99 (S7); agrees to 0.1 point with the f=0.05 table of Shigley recalled (from memory) 25.2 45.7 62.6 71.3 76.6 82.7 85.9 .. 89.1 %; second way: tan(lambda)/tan(lambda+phi1) | tolerance note: computed rel 1e-8; 0.1 point vs table
in: mu=0.05; phi_n=14.5 [deg]; lambda=1 2.5 5 7.5 10 15 20 25 30 [deg]
out: eta_forward=0.25237785 0.457080479 0.62596892 0.713361378 0.766415515 0.826802365 0.859276929 0.878608882 0.890523789
out: eta_back=-1.95697681 -0.182453919 0.407851951 0.603613077 0.700725469 0.796239623 0.842274051 0.868335252 0.884184254
```

```ex D7 rel=1e-8
src: derived here, two ways (tan lambda < mu/cos phi_n; root of back-drive efficiency by bisection)
in: module=1 [mm]; starts=1; d_worm=20 [mm]; phi_n=20 [deg]; mu=0.03 0.05 0.06 0.1
out: lambda=2.86240523 [deg]; mu_critical=0.046984631; locks=0 1 1 1; eta_forward=0.609337609 0.483165534 0.437769711 0.317955903; eta_back=0.360917216 -0.0640074841 -0.276131767 -1.12238347
```
