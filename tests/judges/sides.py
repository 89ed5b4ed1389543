"""Judges corrections for her left or right alone with shapely, which had no part in making them.

    python sides.py ELLWAND METHOD CARD FOLDER

Takes the longest seam of each half of the method's report.json, corrects it on her left alone, on her right
alone, on both, and on her left and her right one after the other. Checks for each edge:
  * the outlines and allowances of what is cut (outlines.py);
  * each piece that was made for her left is the mirror image of that made for her right, within 0.01 mm;
  * left and right together are cut as both, within 0.01 mm;
  * a whole that was opened out is the half of it as it was, and the half as it is when both are corrected;
  * round the waist, the hip and the hem it measures half way between nothing corrected and both.

Needs shapely 2 and numpy. Exit 0 when all holds, 1 when something does not.
"""

import contextlib
import io
import json
import runpy
import subprocess
import sys
from pathlib import Path

from shapely import affinity
from shapely.geometry import Polygon

NEAR = 0.01  # mm
LEFT, RIGHT = ", her left", ", her right"


def make(ellwand, method, card, out, text):
    words = [ellwand, "make", "--card", card, "--method", method, "--predict", "--out", out, "--only", "report.json"]
    if text:
        page = Path(f"{out}.toml")
        page.write_text(text, encoding="utf-8")
        words += ["--correct", page]
    done = subprocess.run([str(w) for w in words], capture_output=True, text=True)
    report = Path(out) / "report.json"
    if not report.exists():
        raise SystemExit(f"FAULT not made: {done.stdout}{done.stderr}")
    return json.loads(report.read_text(encoding="utf-8"))


def correction(piece, edge, side):
    return (
        f'[[correction]]\npiece = "{piece}"\nedge = "{edge}"\nstart = "in 3/8 in"\nmiddle = "in 1/4 in"\n'
        f'end = "0 in"\nside = "{side}"\n\n'
    )


def shape(piece):
    """The stitching line, moved to begin at nothing."""
    ring = Polygon(piece["stitching_mm"])
    low = ring.bounds
    return affinity.translate(ring, -low[0], -low[1])


def over(ring):
    turned = affinity.scale(ring, -1, 1, origin=(0, 0))
    low = turned.bounds
    return affinity.translate(turned, -low[0], -low[1])


def apart(one, two):
    return one.exterior.hausdorff_distance(two.exterior)


def outlines(report):
    argv, said = sys.argv, io.StringIO()
    sys.argv = ["outlines.py", str(report)]
    code = 0
    with contextlib.redirect_stdout(said):
        try:
            runpy.run_path(str(Path(__file__).resolve().parent / "outlines.py"), run_name="__main__")
        except SystemExit as end:
            code = end.code
    sys.argv = argv
    return [] if code in (0, None, False) else [line for line in said.getvalue().splitlines() if "FAULT" in line]


def main(ellwand, method, card, folder):
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    plain = make(ellwand, method, card, folder / "plain", "")
    faults, tried = [], 0
    for number, piece in enumerate(plain["pieces"]):
        shell = [c for c in piece["cut"] if c["cloth"] == "shell"]
        if not shell or not all(c["on_fold"] or c["pair"] for c in piece["cut"]) or "facing" in piece["name"]:
            continue
        seams = [e for e in piece["edges"] if e["role"] == "seam"]
        if not seams:
            continue
        edge = max(seams, key=lambda e: e["length_mm"])["name"]
        name = piece["name"]
        one = {s: correction(name, edge, s) for s in ("left", "right", "both")}
        made = {
            what: make(ellwand, method, card, folder / f"{number}-{what}", text)
            for what, text in [*one.items(), ("together", one["left"] + one["right"])]
        }
        if not all(c["made"] for c in made["both"]["corrections"]):
            continue
        tried += 1
        here = f"{edge} of {name}"
        for what in made:
            faults += [f"{here}, {what}: {f}" for f in outlines(folder / f"{number}-{what}" / "report.json")]
            lost = [c["lost"] for c in made[what]["corrections"] if not c["made"]]
            faults += [f"{here}, {what}: {f}" for f in lost]
        named = {what: {p["name"]: p for p in report["pieces"]} for what, report in made.items()}
        if list(named["together"]) != list(named["both"]):
            faults.append(f"{here}: left and right together are cut as {list(named['together'])}")
        for each in named["both"]:
            off = apart(shape(named["both"][each]), shape(named["together"].get(each, piece)))
            if off > NEAR:
                faults.append(f"{here}: {each} is {off:.3f} mm apart, together and both")
        halves = [p for p in named["left"].values() if p["side"]]
        if not halves:
            faults.append(f"{here}: nothing is cut apart")
        for half in halves:
            mine = half["name"]
            twin = mine.replace(LEFT, RIGHT) if LEFT in mine else mine.replace(RIGHT, LEFT)
            off = apart(over(shape(half)), shape(named["right"][twin]))
            if off > NEAR:
                faults.append(f"{here}: {mine} is no mirror image, {off:.3f} mm apart")
            moved = [r["moved"] or "" for r in made["left"]["retrued"]]
            if half["side"] == "both" and not any(RIGHT in m for m in moved):
                # Where they meet nothing changed. Half of it is as it was, half as both are.
                areas = [next(p for p in r["pieces"] if p["name"] == mine)["area_mm2"] for r in (plain, made["both"])]
                if abs(half["area_mm2"] - sum(areas)) > 2.0:
                    faults.append(f"{here}: {mine} has {half['area_mm2']} mm2, not {sum(areas)}")
        for what in ("waist_mm", "hip_mm", "hem_mm"):
            was, now, both = (r["measured"][what] for r in (plain, made["left"], made["both"]))
            if (was is None) != (now is None) or (was is not None and abs(now - (was + both) / 2) > 1.0):
                faults.append(f"{here}: {what} was {was}, is {now}, and {both} for both")
    for fault in faults:
        print("FAULT", fault)
    print(f"{tried} edges, {len(faults)} faults")
    return 0 if tried and not faults else 1


if __name__ == "__main__":
    if len(sys.argv) != 5:
        sys.exit(__doc__)
    sys.exit(main(*sys.argv[1:]))
