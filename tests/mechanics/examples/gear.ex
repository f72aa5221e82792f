# Spur gears by their teeth. How to read: README.md; sources: sources.md.

```ex D1 rel=1e-8
src: definition d=N/DP (spur-gear formula sheets, sources S6), computed here; published check 40T 10DP: d=4 in
in: N=12 16 20 24 16 18 12 48; DP=32 32 32 32 24 20 24 32 [1/in]
out: d_in=0.375 0.5 0.625 0.75 0.666666667 0.9 0.5 1.5 [in]
out: d_mm=9.525 12.7 15.875 19.05 16.9333333 22.86 12.7 38.1 [mm]
out: module_mm=0.79375 0.79375 0.79375 0.79375 1.05833333 1.27 1.05833333 0.79375 [mm]
```
