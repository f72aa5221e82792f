# Stopping distances, dead sections, scale speeds. How to read: README.md; sources: sources.md.

```ex R1 rel=1e-8
src: derived here, two ways (v t + v^2/2a; integration)
in: v=0.25 0.5 1 [m/s]; dec=0.3 [m/s2]; t_react=0.2 [s]
out: stop=0.154166667 0.516666667 1.86666667 [m]
```

```ex R2 rel=1e-8
src: derived here, two ways (a_net = a +/- g*grade; energy balance after Barney, Haley & Nikandros)
in: v=0.5 [m/s]; dec=0.3 [m/s2]; grade=0.01; c_rr=0.004; g=9.80665 [m/s2]
out: stop_up=0.314017884 [m]; stop_down=0.619015666 [m]; coast_dec_level=0.0392266 [m/s2]; coast_stop_level=3.18661317 [m]
```

```ex R3 rel=1e-8
src: derived here: L_dead = v t_react + v^2/2a + pickup wheelbase + margin
in: v=0.5 [m/s]; dec=0.3 [m/s2]; t_react=0.2 [s]; pickup_span=0.55 [m]; margin=0.15 [m]
out: L_dead=1.21666667 [m]
```

```ex R4 rel=1e-8
src: derived: smph = ft/s*ratio*3600/5280; published check 1:32 -> 21.8 (S19); 1:19 at 10 scale mph about 4 s per yard (S19) | tolerance note: rel 1e-8; 0.1 vs published
in: scale=20.3 22.5 24 29 32 48
out: smph_per_ft_s=13.8409091 15.3409091 16.3636364 19.7727273 21.8181818 32.7272727
out: model_speed_at_40_smph=0.880866995 0.794737778 0.745066667 0.616606897 0.5588 0.372533333 [m/s]
out: s_per_yard_1_19_at_10mph=3.88636364 [s]
```
