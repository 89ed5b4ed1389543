//! The one table of measures.
//!
//! Names, definitions and the ranges for looking again are common practice, from memory, no source;
//! the columns are those of the 1988 anthropometric survey of US Army women (Gordon et al.,
//! NATICK/TR-89/044, 1989, public domain).

use super::{Kind, Measure};

/// Words that may mean more than one measure, and which.
pub(super) const UNCLEAR: &[(&str, &[&str])] = &[
    (
        "front waist",
        &["front waist length", "shoulder to waist", "front waist arc"],
    ),
    ("back waist", &["back waist length", "back waist arc"]),
    (
        "front length",
        &["front waist length", "front waist to floor"],
    ),
    ("back length", &["back waist length", "back waist to floor"]),
    ("waist length", &["back waist length", "front waist length"]),
    ("inseam", &["crotch height"]),
    ("length", &["waist to floor", "waist to knee"]),
    ("knees", &["both knees", "knee"]),
    ("thighs", &["both thighs", "thigh"]),
    ("calves", &["both calves", "calf"]),
    ("rise", &["body rise", "crotch length"]),
    ("arm", &["upper arm", "sleeve length"]),
    ("chest", &["bust", "across chest"]),
    ("back", &["across back", "back waist length"]),
    ("navel", &["garment waist"]),
    ("padded", &["padded hip"]),
];

const fn girth(
    name: &'static str,
    synonyms: &'static [&'static str],
    definition: &'static str,
    how_taken: &'static str,
) -> Measure {
    Measure {
        name,
        synonyms,
        kind: Kind::Girth,
        definition,
        how_taken,
        column: None,
        ask_again: None,
    }
}

impl Measure {
    const fn kind(mut self, kind: Kind) -> Self {
        self.kind = kind;
        self
    }

    const fn column(mut self, column: &'static str) -> Self {
        self.column = Some(column);
        self
    }

    const fn again(mut self, low: f64, high: f64) -> Self {
        self.ask_again = Some((low, high));
        self
    }
}

pub(super) const ALL: &[Measure] = &[
    girth(
        "height",
        &["stature", "body height", "full height"],
        "her whole height, barefoot",
        "Barefoot against a wall, heels together, looking ahead; from the floor to the crown of the head.",
    )
    .kind(Kind::Height)
    .column("height"),
    girth(
        "waist",
        &["waist girth", "natural waist", "round waist"],
        "round the natural waist",
        "Tie a narrow tape round her; it settles at the natural waist. Measure round it, level and snug, at the end of a quiet breath.",
    )
    .column("waist")
    .again(20.0, 56.0),
    girth(
        "garment waist",
        &["waistband girth", "waist where the garment sits"],
        "round the body where the top of the garment will sit, if that is not the natural waist",
        "Round that level, tape level and snug.",
    ),
    girth(
        "garment waist drop",
        &["waistband drop", "drop of the garment waist"],
        "how far the garment's waist lies below the natural waist",
        "From the tied tape straight down to the level where the garment will sit, at the side.",
    )
    .kind(Kind::Length),
    girth(
        "front waist arc",
        &["waist arc front"],
        "the front part of the waist",
        "At the waist, from side seam to side seam across the front. Front and back together are the waist.",
    )
    .kind(Kind::Arc),
    girth(
        "back waist arc",
        &["waist arc back"],
        "the back part of the waist",
        "At the waist, from side seam to side seam across the back.",
    )
    .kind(Kind::Arc),
    girth(
        "high hip",
        &["upper hip", "high hip girth"],
        "round the hip bones and the belly",
        "Level, 3 to 4 in (7.5 to 10 cm) below the waist, over the hip bones and the belly.",
    )
    .again(26.0, 60.0),
    girth(
        "hip",
        &["hips", "seat", "full hip", "hip girth", "low hip"],
        "round the fullest part of the hip and seat",
        "Level, round the fullest part, feet together. Over a round stomach hold a card flat against the belly so that the tape takes it in. Note the depth at which it was taken.",
    )
    .column("hip")
    .again(30.0, 66.0),
    girth(
        "front hip arc",
        &["hip arc front"],
        "the front part of the hip",
        "At the hip, from side seam to side seam across the front. Front and back together are the hip.",
    )
    .kind(Kind::Arc),
    girth(
        "back hip arc",
        &["hip arc back"],
        "the back part of the hip",
        "At the hip, from side seam to side seam across the seat.",
    )
    .kind(Kind::Arc),
    girth(
        "padded hip",
        &["hip over pads", "hip with pads"],
        "round the hip over hip pads, besides the natural hip",
        "Over the pads she will wear, level, at the fullest part. The natural hip must be on the card too.",
    ),
    girth(
        "seated hip",
        &["sitting hip", "hip seated", "hip sitting"],
        "round the hip when she sits",
        "Round the fullest part while she sits on a hard stool. It is the hip or up to 5 in (13 cm) more.",
    ),
    girth(
        "thigh",
        &["thigh girth", "upper thigh", "top thigh"],
        "round one thigh at its top",
        "One leg, just below the crotch, at the fold under the seat, square to the leg.",
    )
    .column("thigh")
    .again(16.0, 34.0),
    girth(
        "lower thigh",
        &["thigh above the knee", "above the knee", "above one knee", "above knee"],
        "round one thigh just above the knee",
        "One leg, level, at the top of the kneecap, about 2 in (5 cm) above its middle.",
    )
    .column("lower_thigh"),
    girth(
        "both thighs",
        &["thighs together", "round both thighs"],
        "round both thighs together",
        "Round both legs, 12 in (30 cm) below the waist: the test for a narrow skirt.",
    )
    .again(30.0, 60.0),
    girth(
        "knee",
        &["knee girth", "one knee", "round knee"],
        "round one knee",
        "One leg, over the middle of the kneecap, standing.",
    )
    .column("knee")
    .again(12.0, 21.0),
    girth(
        "bent knee",
        &["knee bent"],
        "round one knee when it is bent",
        "As the knee, with the leg bent square. It is the knee or up to 2 in (5 cm) more.",
    ),
    girth(
        "both knees",
        &["knees together", "round both knees"],
        "round both knees together",
        "Round both knees, legs touching. About 1.64 times one knee.",
    ),
    girth(
        "calf",
        &["calf girth", "one calf"],
        "round one calf",
        "One leg, at the fullest part of the calf.",
    )
    .column("calf")
    .again(11.0, 20.0),
    girth(
        "both calves",
        &["calves together", "round both calves"],
        "round both calves together",
        "Round both calves at their fullest, legs touching: for hobble styles.",
    ),
    girth(
        "ankle",
        &["ankle girth", "one ankle"],
        "round one ankle",
        "One leg, at the smallest part, just above the ankle bone.",
    )
    .column("ankle"),
    girth(
        "waist to hip",
        &["hip depth", "hip depth side", "side waist to hip", "side hip depth"],
        "from the waist down to the hip level, at the side",
        "From the lower edge of the tied tape down to the level at which the hip was taken, along the body at the side. Never take it from a table.",
    )
    .kind(Kind::Length)
    .column("waist_to_hip")
    .again(6.5, 10.0),
    girth(
        "front waist to hip",
        &["hip depth front", "front hip depth"],
        "from the waist down to the hip level, at the centre front",
        "From the tied tape to the hip level along the body at the centre front.",
    )
    .kind(Kind::Length)
    .again(6.5, 10.0),
    girth(
        "back waist to hip",
        &["hip depth back", "back hip depth"],
        "from the waist down to the hip level, at the centre back",
        "From the tied tape to the hip level along the body at the centre back.",
    )
    .kind(Kind::Length)
    .again(6.5, 10.0),
    girth(
        "waist to knee",
        &["side waist to knee", "knee depth"],
        "from the waist down to the middle of the kneecap",
        "From the tied tape straight down to the middle of the kneecap, standing.",
    )
    .kind(Kind::Length)
    .column("waist_to_knee")
    .again(20.0, 27.0),
    girth(
        "front waist to knee",
        &["waist to knee front", "waist to knee in front"],
        "from the waist to the middle of the kneecap, at the front",
        "From the tied tape down the front to the middle of the kneecap.",
    )
    .kind(Kind::Length)
    .again(20.0, 27.0),
    girth(
        "back waist to knee",
        &["waist to knee back", "waist to knee over the seat"],
        "from the waist over the seat to the crease of the knee, at the back",
        "From the tied tape at the back, over the seat, to the crease behind the knee. Never shorter than the front.",
    )
    .kind(Kind::Length)
    .again(20.0, 27.0),
    girth(
        "hip to knee",
        &[],
        "from the hip level down to the middle of the kneecap",
        "At the side, from the hip level straight down to the level of the middle of the kneecap.",
    )
    .kind(Kind::Length)
    .column("hip_to_knee"),
    girth(
        "waist to ankle",
        &["side waist to ankle", "waist to ankle at the side"],
        "from the waist down to the ankle bone",
        "At the side, from the tied tape along the body to the hip, then straight down to the ankle bone.",
    )
    .kind(Kind::Length),
    girth(
        "waist to floor",
        &["side waist to floor", "waist to floor side", "waist to floor at the side", "outside leg"],
        "from the waist to the floor, at the side",
        "In shoes, at the side: the tape follows the body to the hip, then hangs to the floor. Measure both sides.",
    )
    .kind(Kind::Floor)
    .column("waist_h")
    .again(36.0, 48.0),
    girth(
        "left waist to floor",
        &["waist to floor left", "left side waist to floor"],
        "from the waist to the floor, at her left side",
        "As waist to floor, at her left side. When the sides differ by more than 3/8 in (1 cm) draft them apart.",
    )
    .kind(Kind::Floor)
    .again(36.0, 48.0),
    girth(
        "right waist to floor",
        &["waist to floor right", "right side waist to floor"],
        "from the waist to the floor, at her right side",
        "As waist to floor, at her right side.",
    )
    .kind(Kind::Floor)
    .again(36.0, 48.0),
    girth(
        "front waist to floor",
        &["waist to floor front", "waist to floor in front"],
        "from the waist to the floor, at the centre front",
        "In shoes, at the centre front: over the belly, then hanging to the floor.",
    )
    .kind(Kind::Floor)
    .again(36.0, 48.0),
    girth(
        "back waist to floor",
        &["waist to floor back", "waist to floor over the seat"],
        "from the waist over the seat to the floor, at the centre back",
        "In shoes, at the centre back: over the seat, then hanging to the floor.",
    )
    .kind(Kind::Floor)
    .again(36.0, 48.0),
    girth(
        "hip joint to floor",
        &["hip joint height", "trochanter height"],
        "from the bony point at the side of the hip to the floor",
        "In shoes: lift her knee and feel the bony point at the side of the hip that stays in its place; from there straight down.",
    )
    .kind(Kind::Floor)
    .column("trochanter_h"),
    girth(
        "hip to floor",
        &["hip level to floor", "hip height"],
        "from the hip level to the floor",
        "In shoes, from the level at which the hip was taken straight down to the floor.",
    )
    .kind(Kind::Floor)
    .column("hip_h"),
    girth(
        "crotch height",
        &["inside leg", "crotch to floor", "inside leg to floor"],
        "from the crotch to the floor",
        "In shoes, feet a little apart, from the crotch straight down to the floor.",
    )
    .kind(Kind::Floor)
    .column("crotch_h"),
    girth(
        "thigh to floor",
        &["seat fold to floor", "thigh height"],
        "from the fold under the seat to the floor",
        "In shoes, from the fold under the seat, where the thigh is taken, straight down.",
    )
    .kind(Kind::Floor)
    .column("gluteal_furrow_h"),
    girth(
        "knee to floor",
        &["knee height", "knee level to floor"],
        "from the middle of the kneecap to the floor",
        "In shoes, standing, from the middle of the kneecap straight down to the floor.",
    )
    .kind(Kind::Floor)
    .column("knee_h"),
    girth(
        "calf to floor",
        &["calf height"],
        "from the fullest calf to the floor",
        "In shoes, from the fullest part of the calf straight down.",
    )
    .kind(Kind::Floor)
    .column("calf_h"),
    girth(
        "ankle to floor",
        &["ankle height"],
        "from the ankle bone to the floor",
        "In shoes, from the outer ankle bone straight down.",
    )
    .kind(Kind::Floor)
    .column("ankle_h"),
    girth(
        "heel",
        &["heel height", "shoe height", "height of heel"],
        "the height of the heel of the shoes of the event",
        "Beside the shoe, from the floor to where her heel rests; a platform counts too. 0 when she goes barefoot or flat.",
    )
    .kind(Kind::Shoe)
    .again(0.0, 7.0),
    girth(
        "body rise",
        &["crotch depth", "seat depth"],
        "from the waist to the seat of the chair",
        "She sits on a hard chair: at the side, from the tied tape to the seat.",
    )
    .kind(Kind::Length)
    .column("waist_h_sit")
    .again(8.5, 14.0),
    girth(
        "crotch length",
        &["rise front and back"],
        "from waist to waist between the legs",
        "From the tied tape at the centre front, between the legs, up to the tape at the centre back.",
    )
    .kind(Kind::Length)
    .column("crotch_len_waist")
    .again(22.0, 36.0),
    girth(
        "stride",
        &["step", "longest step", "step wanted"],
        "the longest comfortable step she wants to take",
        "Heel to heel, as she would walk in the garment.",
    )
    .kind(Kind::Wish)
    .again(12.0, 28.0),
    girth(
        "stair",
        &["step up", "riser", "highest step"],
        "the highest step she has to climb",
        "The height of one stair, kerb or stage step.",
    )
    .kind(Kind::Wish)
    .again(4.0, 10.0),
    girth(
        "train",
        &["train length"],
        "how much of the train lies on the floor behind her heel",
        "On the floor, in shoes, behind the heel at the centre back.",
    )
    .kind(Kind::Wish)
    .again(0.0, 120.0),
    girth(
        "bust",
        &["bust girth", "full bust"],
        "round the fullest part of the bust",
        "Level, over the fullest part and over the shoulder blades, arms down.",
    )
    .column("bust")
    .again(28.0, 60.0),
    girth(
        "high bust",
        &["upper bust", "overbust", "over bust"],
        "round the chest above the bust",
        "Straight above the bust, tape high under the arms and level at the back.",
    )
    .column("overbust"),
    girth(
        "underbust",
        &["under bust", "rib", "rib girth", "round underbust"],
        "round the ribs directly under the bust",
        "Directly under the bust, snug, breath out.",
    )
    .column("underbust")
    .again(24.0, 52.0),
    girth(
        "front bust arc",
        &["bust arc front"],
        "the front part of the bust",
        "At the bust, from side-seam line to side-seam line across the front. Front and back together are the bust.",
    )
    .kind(Kind::Arc),
    girth(
        "back bust arc",
        &["bust arc back"],
        "the back part of the bust",
        "At the bust, from side-seam line to side-seam line across the back.",
    )
    .kind(Kind::Arc),
    girth(
        "bust span",
        &["apex to apex", "nipple to nipple", "bust point to bust point"],
        "from bust point to bust point",
        "Straight across, from bust point to bust point.",
    )
    .kind(Kind::Width)
    .column("bust_span")
    .again(5.5, 10.0),
    girth(
        "shoulder to bust",
        &["shoulder to nipple", "shoulder to apex", "neck point to bust", "neck to bust"],
        "from the neck point to the bust point",
        "From where the shoulder seam meets the neck down to the bust point.",
    )
    .kind(Kind::Length)
    .column("neck_to_bust")
    .again(8.5, 14.0),
    girth(
        "shoulder to underbust",
        &["neck point to underbust"],
        "from the neck point over the bust point to under the bust",
        "From the neck point over the bust point to directly under the bust.",
    )
    .kind(Kind::Length),
    girth(
        "shoulder to waist",
        &["half length", "front half length", "neck point to waist"],
        "from the neck point over the bust point to the waist",
        "From the neck point over the bust point, down to the tied tape.",
    )
    .kind(Kind::Length)
    .again(14.5, 21.0),
    girth(
        "front waist length",
        &["centre front length", "center front length", "neck pit to waist"],
        "from the pit of the neck to the waist, at the centre front",
        "From the pit of the neck along the body down to the tied tape.",
    )
    .kind(Kind::Length)
    .column("front_waist_len")
    .again(12.0, 17.0),
    girth(
        "back waist length",
        &["nape to waist", "centre back length", "center back length"],
        "from the nape to the waist, at the centre back",
        "From the nape bone (bending the head forward finds it) along the back down to the tied tape.",
    )
    .kind(Kind::Length)
    .column("back_waist_len")
    .again(14.0, 19.0),
    girth(
        "across chest",
        &["cross chest", "cross front", "across front", "chest width"],
        "across the chest, from armhole to armhole",
        "At the front, from armhole to armhole, 3 in (7.5 cm) below the pit of the neck.",
    )
    .kind(Kind::Width)
    .again(11.0, 17.0),
    girth(
        "across back",
        &["cross back", "back width", "width of back"],
        "across the back, from arm crease to arm crease",
        "At the back, 4 to 5 in (10 to 13 cm) below the nape, from arm crease to arm crease, arms slightly forward.",
    )
    .kind(Kind::Width)
    .column("interscye")
    .again(12.0, 18.0),
    girth(
        "shoulder",
        &["shoulder length", "shoulder seam"],
        "along the shoulder, from the neck point to the shoulder bone",
        "From the neck point along the shoulder to the shoulder bone.",
    )
    .kind(Kind::Length)
    .column("shoulder_len")
    .again(4.0, 6.0),
    girth(
        "shoulder slope",
        &["slope of the shoulder"],
        "how steeply the shoulder falls, as an angle",
        "The angle between a level line at the neck point and the shoulder.",
    )
    .kind(Kind::Angle)
    .again(15.0, 27.0),
    girth(
        "front shoulder diagonal",
        &["front slope length"],
        "from the centre-front waist to the shoulder bone",
        "From the tied tape at the centre front slanting up to the shoulder bone: it gives the shoulder's slope.",
    )
    .kind(Kind::Length),
    girth(
        "back shoulder diagonal",
        &["back slope length"],
        "from the centre-back waist to the shoulder bone",
        "From the tied tape at the centre back slanting up to the shoulder bone.",
    )
    .kind(Kind::Length),
    girth(
        "armhole depth",
        &["scye depth", "depth of armhole"],
        "from the nape down to the level of the armpits",
        "From the nape down the centre back to a level tape held under the arms.",
    )
    .kind(Kind::Length)
    .column("scye_depth")
    .again(7.0, 10.5),
    girth(
        "armhole",
        &["armhole girth", "scye", "scye girth", "round armhole"],
        "round the armhole",
        "Over the shoulder bone and round under the arm, arm down.",
    )
    .column("armscye")
    .again(14.0, 24.0),
    girth(
        "neck",
        &["neck base", "neck girth", "round neck"],
        "round the base of the neck",
        "Round the base of the neck, through the pit of the neck and over the nape.",
    )
    .column("neck_base")
    .again(12.0, 18.0),
    girth(
        "upper arm",
        &["upper arm girth", "bicep", "biceps"],
        "round the upper arm",
        "Round the fullest part of the upper arm, easy.",
    )
    .column("upper_arm")
    .again(9.0, 20.0),
    girth(
        "elbow",
        &["elbow girth", "bent elbow"],
        "round the elbow when it is bent",
        "Round the bent elbow, easy.",
    )
    .column("elbow")
    .again(8.0, 17.0),
    girth(
        "wrist",
        &["wrist girth"],
        "round the wrist",
        "Round the wrist bone, easy.",
    )
    .column("wrist")
    .again(5.0, 9.0),
    girth(
        "sleeve length",
        &["sleeve", "outer sleeve length", "arm length"],
        "from the shoulder bone to the wrist, outside",
        "From the shoulder bone over the bent elbow to the wrist.",
    )
    .kind(Kind::Length)
    .column("sleeve_outseam")
    .again(20.0, 26.0),
    girth(
        "underarm sleeve length",
        &["under sleeve length", "inner sleeve length", "underarm length"],
        "from the underarm to the wrist, inside",
        "From the underarm straight to the wrist.",
    )
    .kind(Kind::Length)
    .again(14.0, 20.0),
    girth(
        "side length",
        &["underarm to waist"],
        "from below the armpit to the waist, at the side",
        "From 1 in (2.5 cm) below the armpit down to the tied tape.",
    )
    .kind(Kind::Length)
    .again(6.0, 10.0),
    girth(
        "top edge",
        &["strapless top edge", "top edge girth"],
        "round the top edge of a strapless bodice",
        "Snug, at the level where the top edge will sit.",
    ),
    girth(
        "hollow to floor",
        &["neck pit to floor"],
        "from the pit of the neck to the floor",
        "In shoes, from the pit of the neck down the front to the floor.",
    )
    .kind(Kind::Floor)
    .again(48.0, 66.0),
    girth(
        "shoulder to floor",
        &["neck point to floor"],
        "from the neck point over the bust point to the floor",
        "In shoes, from the neck point over the bust point, hanging to the floor.",
    )
    .kind(Kind::Floor)
    .again(48.0, 66.0),
];
