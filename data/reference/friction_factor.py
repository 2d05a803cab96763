"""Colebrook friction factors on a grid, by fluids (numerical solution)."""
import fluids
from fluids.friction import Colebrook

with open(__file__.replace(".py", ".csv"), "w", newline="\n") as f:
    f.write("# source: C. F. Colebrook (1939), solved by fluids.friction.Colebrook(Re, eD, tol=0)\n")
    f.write(f"# generator: friction_factor.py, fluids {fluids.__version__}\n")
    f.write("# tolerance: relative 1e-9, the accuracy asked of our own solution\n")
    f.write("reynolds,roughness_ratio,friction_factor\n")
    for k in range(0, 41):
        re = round(4000 * 10 ** (k / 8))
        for ed in (0.0, 1e-6, 1e-5, 5e-5, 1e-4, 5e-4, 1e-3, 5e-3, 1e-2, 5e-2):
            f.write(f"{re},{ed!r},{Colebrook(re, ed, tol=0)!r}\n")
