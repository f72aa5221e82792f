# Counterweight on its own trunnion, linked to the leaf. How to read: README.md; sources: sources.md.

```ex B2 rel=1e-7
src: derived here, two ways (vector balance; potential energy constant over 0..80 deg to 1e-12)
in: m_leaf=36 [kg]; r_leaf=1.15 0.12 [m]; m_link=2.5 [kg]; r_link_pin=-0.02 0.7 [m]; m_cw=80 [kg]; theta=0 20 40 60 80 [deg]
out: r_cw_about_cw_trunnion=-0.516875 -0.075875 [m]; radius=0.522414377 [m]
out: M_if_m_cw_79=5.06881222 4.50863524 3.40465031 1.8900143 0.147414677 [N.m]
```
