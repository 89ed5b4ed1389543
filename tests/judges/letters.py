"""Judges the plain letters of a DXF against Unicode's own table, as Python has it.

    python3 letters.py ELLWAND

Makes a pattern by a method whose title holds every Latin letter of Latin-1, Latin Extended A and B, and
Latin Extended Additional that has a base letter, and reads back what the DXF says. ELLWAND is the built
program. Exit 0 when all holds; each fault is one line.
"""

import subprocess
import sys
import tempfile
import unicodedata
from pathlib import Path

import ezdxf

ROOT = Path(__file__).resolve().parent.parent.parent
BLOCKS = ((0xC0, 0x250), (0x1E00, 0x1F00))
AT_ONCE = 60


def bases():
    """Letters with their base, by the decompositions of Unicode."""
    for low, high in BLOCKS:
        for c in map(chr, range(low, high)):
            base = "".join(m for m in unicodedata.normalize("NFKD", c) if not unicodedata.combining(m))
            if unicodedata.category(c)[0] == "L" and base.isascii() and base.isalpha():
                yield c, base


def main(ellwand):
    """Judges a program."""
    faults = []
    letters = list(bases())
    text = (ROOT / "tests/data/tube.method").read_text(encoding="utf-8")
    first, _, rest = text.partition("\n")
    with tempfile.TemporaryDirectory() as folder:
        for i in range(0, len(letters), AT_ONCE):
            some = letters[i : i + AT_ONCE]
            # Both ways of writing them: as one sign, and as a letter with its marks.
            for form in ("NFC", "NFD"):
                title = unicodedata.normalize(form, "x".join(c for c, _ in some))
                method = Path(folder) / "letters.method"
                method.write_text(first.replace("Tube for trying", title) + "\n" + rest, encoding="utf-8")
                out = Path(folder) / f"out-{i}-{form}"
                done = subprocess.run(
                    [ellwand, "make", "--card", ROOT / "tests/data/anna.toml", "--method", method]
                    + ["--only", "pattern.dxf", "--out", out],
                    capture_output=True,
                    text=True,
                )
                if done.returncode:
                    faults.append(done.stderr.strip())
                    continue
                said = [t.dxf.text for t in ezdxf.readfile(out / "pattern.dxf").blocks["TEST_SQUARE_100_MM"].query("TEXT")]
                want = "STYLE NAME: " + "x".join(b for _, b in some)
                if want not in said:
                    faults.append(f"{form} {title}: {[s for s in said if s.startswith('STYLE')]}")
    for fault in faults:
        print("FAULT", fault)
    print(f"{len(letters)} letters")
    return bool(faults)


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1]))
