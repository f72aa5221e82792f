# How hot a motor becomes. How to read: README.md; sources: sources.md.

```ex H1 rel=1e-5
src: derived here, two ways (midpoint steps; scipy's DOP853), tests/mechanics/second_way/heat.py
in: to_case=4 [K/W]; to_air=8 [K/W]; tau_winding=30 [s]; tau_case=900 [s]; air=30 [degC]; copper=5 [W]; other=6 [W]; t=10 60 300 3000 20000 [s]
out: winding=36.0525896 51.5358012 76.2333759 164.588731 174.409835 [degC]; case=30.5940713 34.5328029 54.3256217 133.475283 142.273222 [degC]
```

```ex H2 rel=1e-4
src: derived here, two ways (midpoint steps; scipy's DOP853 with an event), tests/mechanics/second_way/heat.py; a supply of 2 A heats the winding to less than its limit, ever
in: to_case=4 [K/W]; to_air=8 [K/W]; tau_winding=30 [s]; tau_case=900 [s]; air=30 [degC]; winding=55 [degC]; case=50 [degC]; limit=105 [degC]; V=12 [V]; R=0.286 [ohm]; supply=1000 10 5 [A]
out: time=0.938572986 13.5123897 434.66517 [s]
```
