"""An hour of chilling by SciPy (Debian: python3-scipy), as the peer of BenchmarkHourIn1MM
in internal/flow/kitchen/chill, whose peer_test.go writes the lattice and runs this.

The same cubes and the same law of crystallising, in steps that grow to STEP_S. Heat is
conducted by the step of Crank and Nicolson: a sparse, symmetric, positive matrix, scaled by
its diagonal, solved by conjugate gradients from the last temperatures on. Crystallising is
Newton's method for all cubes together.

    scipy-chill.py FOLDER STEP_S RESIDUAL

FOLDER holds problem.json and the arrays of the lattice, 32 bits little-endian. Prints one
JSON line: seconds without reading, and every 30 s the minutes, the chocolate's mean
temperature in °C and the least crystallised share.
"""

import json
import sys
import time

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import cg

folder, full, residual = sys.argv[1], float(sys.argv[2]), float(sys.argv[3])
with open(f"{folder}/problem.json") as f:
    p = json.load(f)


def read(name, kind="<f4"):
    a = np.fromfile(f"{folder}/{name}", kind)
    return a.astype(float) if kind == "<f4" else a


u, inv, gx, gy, gz, air = (read(n) for n in ("u", "inv", "gx", "gy", "gz", "air"))
cells, share, rise, chocolate = read("cells", "<i4"), read("share"), read("rise"), read("chocolate")
counts = read("counts") > 0
curve_c, curve_share = (np.array(v) for v in zip(*p["curve"]))

start = time.perf_counter()

# Only cubes with matter have an equation.
full_cubes = np.flatnonzero(inv > 0)
number = np.full(inv.size, -1)
number[full_cubes] = np.arange(full_cubes.size)
out = air.copy()  # W/K that leave a cube for each degree of its own
rows, columns, values = [], [], []
for g, apart in ((gx, 1), (gy, p["row"]), (gz, p["layer"])):
    at = np.flatnonzero(g)
    out[at] += g[at]
    out[at + apart] += g[at]
    rows += [number[at], number[at + apart]]
    columns += [number[at + apart], number[at]]
    values += [-g[at], -g[at]]
between = sp.csr_matrix((np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=(full_cubes.size,) * 2)
heat, leaves, T = 1 / inv[full_cubes], out[full_cubes], u[full_cubes]
weight = chocolate[full_cubes]
cells = number[cells]
systems = {}


def conduct(T, step):
    """T' after a step, K being leaves + between: (heat/step + K/2) T' = (heat/step - K/2) T."""
    if step not in systems:
        scale = 1 / np.sqrt(heat / step + leaves / 2)
        systems[step] = scale, (sp.diags(scale) @ (between / 2) @ sp.diags(scale) + sp.eye(T.size)).tocsr()
    scale, matrix = systems[step]
    right = (heat / step - leaves / 2) * T - between @ T / 2
    y, failed = cg(matrix, scale * right, x0=T / scale, tol=residual, atol=0)
    assert not failed
    return scale * y


slopes = np.concatenate([[0], np.diff(curve_share) / np.diff(curve_c), [0]])


def goal(c):
    return np.interp(c, curve_c, curve_share), slopes[np.searchsorted(curve_c, c, side="right")]


def crystallise(c, step):
    """The shares after a step at c, warming included."""
    speed = np.clip((p["melts_c"] - c) / (p["melts_c"] - 16), 0, 1.5)
    grow = -np.expm1(-step / (60 * p["time_min"]) * speed)
    g, slope = goal(c)
    grow[g < share] = 1
    x = share + grow * (g - share) / (1 - grow * rise * slope)
    for _ in range(60):
        g, slope = goal(c + rise * (x - share))
        f = x - share - grow * (g - share)
        if np.abs(f).max() < 1e-8:
            break
        x -= f / (1 - grow * rise * slope)
    return x


history, now, sample, step = [], 0.0, 30.0, full / 6
while now < 3600:
    d = min(step, sample - now)
    T = conduct(T, d)
    new = crystallise(T[cells] + p["air_c"], d)
    T[cells] += rise * (new - share)
    share = new
    now += d
    step = min(full, 1.25 * step)
    if now >= sample - 1e-9:
        history.append([now / 60, T @ weight / weight.sum() + p["air_c"], share[counts].min()])
        sample += 30

print(json.dumps({"seconds": time.perf_counter() - start, "history": history}))
