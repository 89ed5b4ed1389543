#!/usr/bin/env python3
"""Our lays beside those of a general strip packer, in turn on one computer: same pieces, seconds and workers.

    python3 -m venv .venv-beside && .venv-beside/bin/pip install spyrrow==0.9.0
    cargo build --release -p workroom
    .venv-beside/bin/python benches/beside.py [SECONDS] [SEEDS] [WORKERS] [NAME,...]

spyrrow (MIT) wraps the packer sparrow (MIT, arXiv 2509.13329). It is a yardstick of this bench only, and no
part of the program. Both stop by the clock, so a run is one try: medians are told, and every try.
"""

import json
import pathlib
import statistics
import subprocess
import sys

import spyrrow

HERE = pathlib.Path(__file__).resolve().parent
DATA = HERE.parent / "tests/data/lay"
PROGRAM = HERE.parent / "target/release/ellwand"
GARMENTS = "shirts,trousers,marques,albano,mao,dagli"


def area(points):
    pairs = zip(points, points[1:] + points[:1])
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2


def ours(path, seconds, workers, seed):
    words = [PROGRAM, "lay", "--instance", path, "--seconds", seconds, "--workers", workers, "--seed", seed, "--json"]
    told = subprocess.run([str(w) for w in words], capture_output=True, text=True, check=True)
    return 100 * json.loads(told.stdout)["density"]


def theirs(path, seconds, workers, seed):
    file = json.loads(path.read_text())
    items = [
        spyrrow.Item(
            str(n),
            [tuple(p) for p in item["shape"]["data"]],
            demand=item["demand"],
            allowed_orientations=item.get("allowed_orientations"),
        )
        for n, item in enumerate(file["items"])
    ]
    task = spyrrow.StripPackingInstance(file["name"], strip_height=file["strip_height"], items=items)
    config = spyrrow.StripPackingConfig(
        early_termination=False, total_computation_time=seconds, num_workers=workers, seed=seed
    )
    lay = task.solve(config)
    whole = sum(area(i["shape"]["data"]) * i["demand"] for i in file["items"])
    return 100 * whole / (file["strip_height"] * lay.width)


def main():
    words = dict(enumerate(sys.argv[1:]))
    seconds, seeds, workers = (int(words.get(i, d)) for i, d in enumerate((10, 5, 2)))
    print(f"{seconds} s, {workers} workers; density in percent: the median, and each seed\n")
    print("| Instance | Ours | Beside | Difference | Ours, each | Beside, each |\n|---|---|---|---|---|---|")
    for name in words.get(3, GARMENTS).split(","):
        path = DATA / f"{name}.json"
        tries = [(ours(path, seconds, workers, s), theirs(path, seconds, workers, s)) for s in range(seeds)]
        own, other = (statistics.median(t) for t in zip(*tries))
        each = [" ".join(f"{t:.2f}" for t in column) for column in zip(*tries)]
        print(f"| {name} | {own:.2f} | {other:.2f} | {own - other:+.2f} | {each[0]} | {each[1]} |", flush=True)


main()
