# Prototype and model. How to read: README.md; sources: sources.md.

```ex F1 rel=1e-7
src: derived here, two ways (Froude's law; a swinging bar integrated at both sizes), tests/mechanics/second_way/scale.py
in: ratio=12; length=27.6 [m]; period=90 [s]; speed=0.088 [m/s]; mass=71 [kg]
out: model_period=25.9807621 [s]; back=90 [s]; prototype_speed=0.304840942 [m/s]; prototype_mass=122688 [kg]
```
