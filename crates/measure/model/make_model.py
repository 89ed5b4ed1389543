#!/usr/bin/env python3
"""Makes src/body/table.rs, the body model's numbers, from the survey's rows.

    python3 make_model.py ansur1988_women.csv > ../src/body/table.rs  # and then cargo fmt
    python3 make_model.py --aside ansur1988_women.csv > ../testdata/women_1988_aside.csv
    python3 make_model.py --aside ansur2012_women.csv > ../testdata/women_2012_aside.csv
    python3 make_model.py --aside nhanes_women_2017_2020.csv > ../testdata/women_2017_aside.csv

Every eighth woman is left out of the model and put aside for the tests; of surveys that the model
does not use at all, every eighth stands for the rest.

Source: 1988 Anthropometric Survey of US Army Personnel, C. C. Gordon et al., NATICK/TR-89/044
(1989); women only; a US Government work, public domain. Columns are in centimetres and named as in
the row file: `_h` is a height above the floor, standing barefoot; the rest as they read.

Needs no packages. For each measure it prints the mean of the natural logarithm of inches, the
covariances, the slope on the logarithm of the hip (height held), and the blur: how loosely a
measure taken in the workroom follows the survey's column, as a standard deviation of the logarithm.
Where the survey has no column the measure is put together from others, and its blur is wide; those
relations are common practice or from memory, as said beside each.
"""

import csv
import math
import sys

# name: (inches from a row of inches, blur). `real` marks a column of the survey itself.
MEASURES = []

# Columns of the row files that no test reads.
NOT_USED = {
    f"{name}_cm"
    for name in (
        "knee_h_sit popliteal_h_sit heel_ankle neck_mid shoulder_girth biceps_flexed hip_breadth"
        " hip_breadth_sit hip_depth navel_breadth navel_depth abdomen_depth_sit chest_breadth"
        " chest_depth bispinous_breadth bideltoid thigh_clearance buttock_knee_len"
        " buttock_popliteal_len back_navel_len front_navel_len strap_len navel_hip_surface_len"
        " waist_navel_surface_len crotch_len_post_waist vertical_trunk spine_to_wrist foot_len span"
        " sitting_h upper_arm_len upper_leg_len tibial_h bicristal_breadth front_navel_len_sit"
        " crotch_len_navel iliac_crest_h tenth_rib_h"
    ).split()
}


def real(name, column, blur=0.0):
    MEASURES.append((name, lambda r: r[column], blur))


def made(name, of, blur):
    MEASURES.append((name, of, blur))


TWO = 1 + 2 / math.pi  # round two touching round legs, in girths of one: closed form

real("height", "height")
real("bust", "bust")
real("high bust", "overbust", 0.015)
real("underbust", "underbust")
real("waist", "waist")
# Belly at the hip bones: between the girth at the navel and the hip [common practice, no source].
made("high hip", lambda r: (r["navel_girth"] + r["hip"]) / 2, 0.035)
real("hip", "hip")
# Sitting widens the hip: 0 to 5 in [common practice]; breadths +12 % [survey].
made("seated hip", lambda r: r["hip"] * 1.055, 0.025)
real("thigh", "thigh")
real("lower thigh", "lower_thigh")
real("knee", "knee")
# 0 to 2 in more when bent [from memory].
made("bent knee", lambda r: r["knee"] * 1.07, 0.03)
made("both knees", lambda r: r["knee"] * TWO, 0.03)
real("calf", "calf")
made("both calves", lambda r: r["calf"] * TWO, 0.035)
real("ankle", "ankle")
# 12 in below the waist lies a little under the hip: between the hip and two touching thighs.
made("both thighs", lambda r: (r["hip"] + r["thigh"] * TWO) / 2, 0.035)
made("front waist arc", lambda r: r["waist"] * 0.52, 0.05)
made("back waist arc", lambda r: r["waist"] * 0.48, 0.05)
made("front hip arc", lambda r: r["hip"] * 0.49, 0.05)
made("back hip arc", lambda r: r["hip"] * 0.51, 0.05)
made("front bust arc", lambda r: r["bust"] * 0.54, 0.05)
made("back bust arc", lambda r: r["bust"] * 0.46, 0.05)
# Anywhere from the waist to below the navel.
made("garment waist", lambda r: (r["waist"] + r["navel_girth"]) / 2, 0.06)
made("top edge", lambda r: r["overbust"] * 0.99, 0.04)

real("waist to hip", "waist_to_hip")
made("front waist to hip", lambda r: r["waist_to_hip"] * 1.01, 0.08)
made("back waist to hip", lambda r: r["waist_to_hip"] * 1.02, 0.08)
real("waist to knee", "waist_to_knee")
# Along the body, and over the seat at the back (0 to 2 in more) [common practice].
made("front waist to knee", lambda r: r["waist_to_knee"] + 0.2, 0.025)
made("back waist to knee", lambda r: r["waist_to_knee"] + 0.9, 0.03)
real("hip to knee", "hip_to_knee")
real("waist to floor", "waist_h")
made("left waist to floor", lambda r: r["waist_h"], 0.008)
made("right waist to floor", lambda r: r["waist_h"], 0.008)
made("front waist to floor", lambda r: r["waist_h"] + 0.1, 0.018)
made("back waist to floor", lambda r: r["waist_h"] + 0.5, 0.02)
made("waist to ankle", lambda r: r["waist_h"] - r["ankle_h"], 0.01)
real("hip joint to floor", "trochanter_h", 0.01)
real("hip to floor", "hip_h")
real("crotch height", "crotch_h", 0.012)
real("thigh to floor", "gluteal_furrow_h", 0.01)
real("knee to floor", "knee_h")
real("calf to floor", "calf_h", 0.01)
real("ankle to floor", "ankle_h", 0.05)
real("body rise", "waist_h_sit", 0.03)
real("crotch length", "crotch_len_waist", 0.02)

real("bust span", "bust_span")
real("shoulder to bust", "neck_to_bust")
made("shoulder to underbust", lambda r: r["neck_to_bust"] + 3.3, 0.05)
# From the neck point to the bust point, then down the front to the waist.
made("shoulder to waist", lambda r: r["neck_to_bust"] + (r["bust_h"] - r["waist_h"]) * 1.05, 0.035)
real("front waist length", "front_waist_len")
real("back waist length", "back_waist_len")
# The chest is about 2 in narrower than the back [a worked bodice: 34.4 and 32.4 cm].
made("across chest", lambda r: r["interscye"] * 0.93, 0.06)
real("across back", "interscye", 0.04)
real("shoulder", "shoulder_len", 0.06)
# To a level tape under the arms, which lies lower than the survey's mark.
made("armhole depth", lambda r: r["scye_depth"] * 1.1, 0.06)
real("armhole", "armscye", 0.04)
real("neck", "neck_base", 0.04)
real("upper arm", "upper_arm")
made("elbow", lambda r: r["elbow"] * 1.07, 0.04)
real("wrist", "wrist", 0.02)
real("sleeve length", "sleeve_outseam", 0.03)
made("underarm sleeve length", lambda r: r["sleeve_outseam"] * 0.78, 0.05)
made("side length", lambda r: r["axilla_h"] - r["waist_h"], 0.10)
made("hollow to floor", lambda r: r["suprasternale_h"] + 0.4, 0.015)
made("shoulder to floor", lambda r: r["side_neck_h"] + 1.2, 0.015)
made(
    "front shoulder diagonal",
    lambda r: math.hypot(r["acromion_h"] - r["waist_h"], r["biacromial"] / 2) * 1.03,
    0.05,
)
made(
    "back shoulder diagonal",
    lambda r: math.hypot(r["acromion_h"] - r["waist_h"], r["biacromial"] / 2) * 1.03,
    0.05,
)


EIGHTH = 8


def lines(path, aside):
    """The rows that are put aside, or the others; the heading first."""
    with open(path, newline="") as f:
        head, *rest = csv.reader(f)
    return [head] + [r for i, r in enumerate(rest) if (i % EIGHTH == EIGHTH // 2) == aside]


def rows(path):
    head, *rest = lines(path, aside=False)
    for row in rest:
        yield {
            k[: -len("_cm")]: float(v) / 2.54
            for k, v in zip(head, row)
            if k.endswith("_cm") and v
        }


def print_aside(path):
    """The rows put aside, with only the columns that a dressmaker's measure can be made of."""
    head, *rest = lines(path, aside=True)
    keep = [i for i, k in enumerate(head) if k.endswith("_cm") and k not in NOT_USED]
    for row in [head] + rest:
        print(",".join(row[i] for i in keep))


def solve2(a, b, c, p, q):
    """Solves [[a, b], [b, c]] x = [p, q]."""
    det = a * c - b * b
    return (p * c - q * b) / det, (q * a - p * b) / det


def model(path):
    data = [[math.log(of(r)) for _, of, _ in MEASURES] for r in rows(path)]
    n, m = len(data), len(MEASURES)
    mean = [math.fsum(row[i] for row in data) / n for i in range(m)]
    off = [[row[i] - mean[i] for i in range(m)] for row in data]
    cov = [
        [math.fsum(o[i] * o[j] for o in off) / (n - 1) for j in range(i + 1)] for i in range(m)
    ]
    at = lambda i, j: cov[max(i, j)][min(i, j)]
    names = [name for name, _, _ in MEASURES]
    hip, height = names.index("hip"), names.index("height")
    size = [
        0.0
        if i == height
        else solve2(at(hip, hip), at(hip, height), at(height, height), at(i, hip), at(i, height))[0]
        for i in range(m)
    ]
    return n, names, mean, cov, size, [blur for _, _, blur in MEASURES]


def main():
    if sys.argv[1] == "--aside":
        print_aside(sys.argv[2])
        return
    n, names, mean, cov, size, blur = model(sys.argv[1])
    out = [
        "//! The body model's numbers. Made by `model/make_model.py`; change that, not this.",
        "//!",
        f"//! From {n} women of the 1988 Anthropometric Survey of US Army Personnel (C. C. Gordon et al.,",
        "//! NATICK/TR-89/044, 1989), a US Government work in the public domain.",
        "",
        "/// How many measures the model knows.",
        f"pub(super) const COUNT: usize = {len(names)};",
        "",
        "/// Their names, in the order of the numbers below.",
        "pub(super) const NAMES: [&str; COUNT] = [",
        *[f'    "{name}",' for name in names],
        "];",
        "",
        "/// Means of the natural logarithm of inches.",
        "pub(super) const MEAN: [f64; COUNT] = [",
        *[f"    {x:.5f}," for x in mean],
        "];",
        "",
        "/// Slopes of the logarithm on that of the hip, height held.",
        "pub(super) const SIZE: [f64; COUNT] = [",
        *[f"    {x:.4f}," for x in size],
        "];",
        "",
        "/// How loosely a workroom's measure follows the survey's, as a deviation of the logarithm.",
        "pub(super) const BLUR: [f64; COUNT] = [",
        *[f"    {x}," if x else "    0.0," for x in blur],
        "];",
        "",
        "/// Covariances of the logarithms, in hundred-millionths: row by row, each as far as the diagonal.",
        "#[rustfmt::skip]",
        f"pub(super) const COVARIANCE: [i32; COUNT * (COUNT + 1) / 2] = [",
        *["    " + ", ".join(f"{round(x * 1e8):_}" for x in row) + "," for row in cov],
        "];",
    ]
    print("\n".join(out))


if __name__ == "__main__":
    main()
