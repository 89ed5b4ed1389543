"""A plotter of our own: reads HP-GL/2 and gives the strokes it would draw, in millimetres.

Nothing of Ellwand is in it: the commands are those of the PCL 5 technical reference, 40 units to the
millimetre. Anything but plain strokes is a fault.
"""

import re
from dataclasses import dataclass, field

UNITS = 40.0


@dataclass
class Plot:
    """One plot: its size, and strokes in millimetres with the pen's width."""

    length: float = 0.0
    width: float = 0.0
    strokes: list = field(default_factory=list)
    air: float = 0.0


def read(text):
    """The plots of a file."""
    plots = []
    pen, down, here = 0.0, False, (0.0, 0.0)
    for command in text.split(";"):
        command = command.strip()
        if not command:
            continue
        name, rest = command[:2], command[2:]
        if not re.fullmatch(r"[A-Z]{2}[-0-9., ]*", command):
            raise ValueError(f"no command: {command[:40]!r}")
        numbers = [float(n) for n in rest.split(",") if n.strip()]
        if name == "IN":
            plots.append(Plot())
            pen, down, here = 0.0, False, (0.0, 0.0)
        elif name == "PS":
            plots[-1].length, plots[-1].width = (n / UNITS for n in numbers)
        elif name == "PW":
            pen = numbers[0]
        elif name in ("PU", "PD"):
            if name == "PD" and not down:
                plots[-1].strokes.append((pen, [here]))
            down = name == "PD"
            for x, y in zip(numbers[::2], numbers[1::2]):
                if x != int(x) or y != int(y):
                    raise ValueError(f"not whole: {command[:40]}")
                to = (x / UNITS, y / UNITS)
                if down:
                    plots[-1].strokes[-1][1].append(to)
                else:
                    plots[-1].air += ((to[0] - here[0]) ** 2 + (to[1] - here[1]) ** 2) ** 0.5
                here = to
        elif name not in ("SP", "PA", "LT", "PG"):
            raise ValueError(f"not awaited: {command[:40]!r}")
    return plots
