# Counterweight ropes. How to read: README.md; sources: sources.md.

```ex W1 rel=1e-8
src: derived here, two ways (closed form; a chain of 20,000 springs), tests/mechanics/second_way/rope.py
in: cw=29.6 [kg]; n=4; w=0.09; sides=1.2 0.4 [m]; d=1.5 [mm]; E=4e10 [Pa]
out: tension=73.9813676 [N]; stretch=1.65861325 [mm]
```
