"""Least squares by exact rational numbers; the C code has a QR decomposition in floating point."""
from fractions import Fraction
from math import sqrt


def exact(values):
    return [Fraction(repr(value)) for value in values]


def solve(rows, right):
    """The inverse of a small matrix and the solution, by Gauss and Jordan."""
    size = len(rows)
    table = [row + [Fraction(i == k) for k in range(size)] + [right[i]] for i, row in enumerate(rows)]
    for i in range(size):
        pivot = next(k for k in range(i, size) if table[k][i] != 0)
        table[i], table[pivot] = table[pivot], table[i]
        table[i] = [value / table[i][i] for value in table[i]]
        for k in range(size):
            if k != i and table[k][i] != 0:
                table[k] = [a - table[k][i] * b for a, b in zip(table[k], table[i])]
    return [row[size:-1] for row in table], [row[-1] for row in table]


def fit(columns, y):
    square = [[sum(a * b for a, b in zip(p, q)) for q in columns] for p in columns]
    inverse, beta = solve(square, [sum(a * b for a, b in zip(p, y)) for p in columns])
    left = sum((value - sum(b * c[i] for b, c in zip(beta, columns)))**2 for i, value in enumerate(y))
    freedom = len(y) - len(columns)
    spread = left / freedom
    return {"beta": [float(b) for b in beta], "se": [sqrt(spread * inverse[i][i]) for i in range(len(beta))],
            "cov": [[float(spread * value) for value in row] for row in inverse],
            "ss": float(left), "ms": float(spread), "s": sqrt(spread), "dof": freedom}


def line(v):
    x, y = exact(v["x"]), exact(v["y"])
    found = fit([[Fraction(1)] * len(x), x], y)
    return {"B0": found["beta"][0], "B1": found["beta"][1], "se_B0": found["se"][0], "se_B1": found["se"][1],
            "s_resid": found["s"], "SS_resid": found["ss"], "MS_resid": found["ms"], "dof": found["dof"]}


def through_nought(v):
    found = fit([exact(v["x"])], exact(v["y"]))
    return {"B1": found["beta"][0], "se_B1": found["se"][0], "s_resid": found["s"]}


def polynomial(v):
    x = exact(v["x"])
    found = fit([[value**power for value in x] for power in range(int(v["degree"]) + 1)], exact(v["y"]))
    return {f"B{i}": beta for i, beta in enumerate(found["beta"])} | {"s_resid": found["s"]}


def many(v):
    rows = [exact(v[f"r{i}"]) for i in range(1, 17)]
    columns = [[Fraction(1)] * len(rows)] + [[row[k] for row in rows] for k in range(1, 7)]
    found = fit(columns, [row[0] for row in rows])
    return {"B": found["beta"], "se": found["se"], "SS_resid": found["ss"], "s_resid": found["s"], "dof": found["dof"]}


blocks = {"T3": line, "T4": through_nought, "T5": polynomial, "T6": many}
