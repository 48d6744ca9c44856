"""A layer of 8000 x 5000 pixels by OpenCV (Debian: python3-opencv), as the peer of
BenchmarkLayer8000x5000 in internal/flow/plate: a tray's base with 20 hollows and letters in
each, drawn with grey edges and packed as PNG, least effort.

Prints one JSON line: the median of several runs, in seconds.
"""

import json
import time

import cv2
import numpy as np

W, H, RUNS, SHIFT = 8000, 5000, 9, 4

t = np.linspace(0, 2 * np.pi, 400, endpoint=False)
outlines = [np.array([[200, 200], [W - 200, 200], [W - 200, H - 200], [200, H - 200]], float)]
for j in range(4):
    for i in range(5):
        x, y = 800 + 1550 * i, 700 + 1200 * j
        outlines.append(np.stack([x + 600 * np.cos(t), y + 450 * np.sin(t)], 1))
        for k in range(7):  # letters
            outlines.append(np.stack([x - 400 + 130 * k + 50 * np.cos(t), y + 80 * np.sin(t)], 1))
points = [np.round(o * (1 << SHIFT)).astype(np.int32) for o in outlines]

seconds = []
for _ in range(RUNS):
    start = time.perf_counter()
    image = np.zeros((H, W), np.uint8)
    cv2.fillPoly(image, points, 255, cv2.LINE_AA, SHIFT)
    ok, data = cv2.imencode(".png", image, [cv2.IMWRITE_PNG_COMPRESSION, 1])
    seconds.append(time.perf_counter() - start)
    assert ok

print(json.dumps({"name": f"OpenCV fillPoly and PNG, {W} x {H}", "version": cv2.__version__, "seconds": sorted(seconds)[RUNS // 2]}))
