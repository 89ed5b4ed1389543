"""Runs every judge on real output: each shipped method, for each card of examples/cards and each body
of tests/data/bodies.csv.

    python3 run.py ELLWAND

ELLWAND is the built program. Prints a line for each judgement and ends with how many passed and
failed. Exit 0 when all passed.
"""

import contextlib
import csv
import io
import json
import runpy
import subprocess
import sys
import tempfile
import traceback
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

HERE = Path(__file__).resolve().parent
ROOT = HERE.parent.parent
CARDS = sorted((ROOT / "examples/cards").glob("*.toml"))
BODIES = ROOT / "tests/data/bodies.csv"
# Ways for a cloth to lie, the methods that have a piece too wide for it, and words of the command: each
# method's pieces are laid on each, and those that are too wide, and can't be joined, must be refused.
CIRCLE = {"circle-skirt"}
CLOTHS = [
    (["width = 70"], CIRCLE),
    (["width = 70", 'nap = "one-way"', 'shrink_along = "4 %"'], CIRCLE, "--gap", "1/4 in"),
    (["width = 140", 'fold = "lengthwise"'], set(), "--tilt", "1"),
    (["width = 140", 'fold = "lengthwise"', 'flaws = ["20 in along, 12 in across, 1 in round"]'], set(), "--gap", "1/8 in"),
    (["width = 70", 'fold = "double"', 'nap = "one-way"'], CIRCLE),
    (["width = 90", 'length_runs = "across"', 'nap = "one-way"'], set()),
    (["width = 70", "repeat = 12"], CIRCLE),
    (["width = 70", 'nap = "one-way"', 'shrink_along = "4 %"', 'shrink_across = "2 %"'], CIRCLE),
    (["width = 60", 'fold = "part"'], CIRCLE),
    (["width = 60", 'fold = "part"', 'fold_depth = "24 in"', 'nap = "one-way"', 'flaws = ["20 in along, 5 in across, 1 in round"]'], CIRCLE | {"mermaid-flounce"}, "--gap", "1/8 in"),
    (["width = 70", 'fold = "crosswise"'], CIRCLE),
    (["width = 70", 'fold = "double"', 'scraps = ["30 in wide, 12 in long", "14 in wide, 26 in long"]'], CIRCLE),
    (["width = 60", 'nap = "one-way"', 'scraps = ["140 in wide, 400 in long"]'], set(), "--gap", "1/8 in"),
    (["width = 36"], CIRCLE, "--join"),
    (["width = 45", 'fold = "lengthwise"'], CIRCLE, "--join", "--gap", "1/8 in"),
    (["width = 42", 'length_runs = "across"', 'join = "3/8 in"', 'nap = "one-way"'], set()),
]
# The card whose every sheet of paper is judged; of the others the outlines.
PRINTED = "demo"


def run(*words):
    done = subprocess.run([str(w) for w in words], capture_output=True, text=True, cwd=ROOT)
    return done.returncode == 0, (done.stdout + done.stderr).strip()


def warm():
    """Loads what every judge needs, once for all judgements of a process."""
    sys.path.insert(0, str(HERE))
    import ezdxf, numpy, pymupdf, scipy.spatial, shapely.ops  # noqa: F401


def judge(name, *words):
    """Runs a judge as if from the command line, in this process."""
    # Judges know each other as modules; none may find what another has noted.
    for known in [n for n, m in sys.modules.items() if str(getattr(m, "__file__", "")).startswith(str(HERE))]:
        if known != "__main__":
            del sys.modules[known]
    said = io.StringIO()
    sys.argv = [str(w) for w in words]
    code = 0
    with contextlib.redirect_stdout(said):
        try:
            runpy.run_path(str(HERE / words[0]), run_name="__main__")
        except SystemExit as end:
            code = end.code
        except Exception:
            code = 1
            traceback.print_exc(file=said)
    if isinstance(code, str):
        said.write(code)
    return name, code in (0, None, False), said.getvalue().strip()


def not_made(name, said):
    """A pattern that could not be made fails as a judgement does."""
    return name, False, said


def bodies(folder):
    """Writes a card for each body."""
    with open(BODIES, encoding="utf-8", newline="") as f:
        for number, row in enumerate(csv.DictReader(f), 1):
            lines = [f"client = {json.dumps(row.pop('why'))}", 'unit = "in"', "[measures]"]
            lines += [f"{json.dumps(name)} = {value}" for name, value in row.items()]
            (folder / f"body-{number:02}.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")


def jobs(ellwand, folder):
    """Makes every pattern, and gives what is to be judged: a name, and the judge's words."""
    cards = folder / "bodies"
    cards.mkdir()
    bodies(cards)
    shipped = json.loads(run(ellwand, "methods", "--json")[1])["methods"]
    methods = [m["name"] for m in shipped] + ["tests/data/tube.method", "tests/data/darted.method"]
    for method in methods:
        short = Path(method).stem
        for card in CARDS:
            out = folder / f"{short}-{card.stem}"
            printed = card.stem == PRINTED
            what = ["--paper", "all"] if printed else ["--only", "report.json"]
            made, said = run(
                ellwand, "make", "--card", card, "--method", method, "--predict", "--out", out, *what
            )
            name = f"{short} for {card.stem}"
            if not made:
                yield f"{name}: made", None, said
                continue
            yield f"{name}: outlines", ("outlines.py", out / "report.json"), ""
            if printed:
                yield f"{name}: sheets", ("paper.py", out), ""
                yield f"{name}: for other programs", ("exchange.py", out), ""
                yield f"{name}: joints", ("joints.py", out / "pattern-a4.pdf", out / "report.json"), ""
                for paper in ("roll", "a0"):
                    yield f"{name}: {paper}", ("large.py", out / f"pattern-{paper}.pdf", out / "report.json"), ""
        if short == method:
            card = ROOT / f"examples/cards/{PRINTED}.toml"
            yield f"{short}: her left or right alone", ("sides.py", ellwand, method, card, folder / f"{short}-sides"), ""
        out = folder / f"{short}-bodies"
        made, said = run(
            ellwand, "make", "--cards", cards, "--method", method, "--predict", "--out", out,
            "--only", "report.json",
        )
        if not made:
            yield f"{short} for every body: made", None, said
        for report in sorted(out.glob("*/report.json")):
            yield f"{short} for {report.parent.name}: outlines", ("outlines.py", report), ""
    yield "plain letters", ("letters.py", ellwand), ""
    yield "alphabets", ("alphabets.py", ellwand), ""
    for file in sorted((ROOT / "tests/data/lay").glob("*.json")):
        for case in json.loads(file.read_text(encoding="utf-8")).get("cases", [{}]):
            words = ("lays.py", ellwand, file, *([case["name"]] if case else []))
            yield f"lay of {file.stem} {case.get('name', '')}".strip(), words, ""
    cloths = folder / "cloths"
    cloths.mkdir()
    for number, (lines, too_wide, *more) in enumerate(CLOTHS, 1):
        cloth = cloths / f"cloth-{number}.toml"
        cloth.write_text('name = "Trial (invented)"\nunit = "in"\nselvedge = 1\n' + "\n".join(lines) + "\n", encoding="utf-8")
        for report in sorted(folder.glob(f"*-{PRINTED}/report.json")):
            narrow = ["--narrow"] if report.parent.name.removesuffix(f"-{PRINTED}") in too_wide else []
            words = ("cloth_lays.py", ellwand, report, cloth, *narrow, "--steps", "40000", *more)
            yield f"{report.parent.name} on cloth {number}", words, ""
    for paper in ("a4", "letter", "a3"):
        found = sorted(folder.glob(f"*-{PRINTED}/pattern-{paper}.pdf"))
        for pdf in found[:1]:
            report = pdf.parent / "report.json"
            yield f"{pdf.parent.name}: {paper} as printed", ("printer.py", pdf, paper, report), ""
            if paper != "a4":
                yield f"{pdf.parent.name}: joints of {paper}", ("joints.py", pdf, report), ""


def main(ellwand):
    passed = failed = 0
    waiting = []

    def tell(all_of_them):
        nonlocal passed, failed
        while waiting and (all_of_them or waiting[0].done()):
            name, good, said = waiting.pop(0).result()
            print(f"{'ok    ' if good else 'FAILED'} {name}", flush=True)
            if good:
                passed += 1
            else:
                failed += 1
                print("       " + said.replace("\n", "\n       "), flush=True)

    with tempfile.TemporaryDirectory() as folder, ProcessPoolExecutor(2, initializer=warm) as both:
        for name, words, said in jobs(ellwand, Path(folder)):
            waiting.append(both.submit(judge, name, *words) if words else both.submit(not_made, name, said))
            tell(False)
        tell(True)
    print(f"{passed} passed, {failed} failed")
    return 0 if failed == 0 and passed > 0 else 1


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1]))
