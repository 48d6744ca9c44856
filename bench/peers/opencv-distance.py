"""Exact distance transform of 4000 x 2500 by OpenCV (Debian: python3-opencv), as
the peer of BenchmarkDistance4000x2500 in internal/base/field: the same mask, by
the formula of speckle in transform_test.go.

Prints one JSON line: the median of several runs, in seconds, on all cores.
"""

import json
import time

import cv2
import numpy as np

W, H, SHIFT, RUNS = 4000, 2500, 10, 9

x = np.arange(W * H, dtype=np.uint32) * np.uint32(2654435761)
x ^= x >> np.uint32(15)
x *= np.uint32(2246822519)
on = (x >> np.uint32(32 - SHIFT)) == 0
mask = np.where(on, 0, 1).astype(np.uint8).reshape(H, W)  # to the nearest zero

seconds = []
for _ in range(RUNS):
    start = time.perf_counter()
    cv2.distanceTransform(mask, cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    seconds.append(time.perf_counter() - start)

print(json.dumps({"name": f"OpenCV distanceTransform, precise, {W} x {H}", "version": cv2.__version__, "seconds": sorted(seconds)[RUNS // 2]}))
