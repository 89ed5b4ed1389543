//! The rules of the inspector in one table.
//!
//! RULES.md repeats it for people; a test holds the two together.

/// What is done about a fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Looked for on every pattern.
    Enforced,
    /// Can't come about.
    ByConstruction,
    /// Only the drafter can see it.
    DraftersDuty,
    /// Not looked for yet.
    NotYet,
    /// Does not arise in what is drafted here.
    NotApplicable,
}

impl Mark {
    /// As RULES.md has it.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Enforced => "enforced",
            Self::ByConstruction => "impossible by construction",
            Self::DraftersDuty => "drafter's duty",
            Self::NotYet => "not yet",
            Self::NotApplicable => "not applicable",
        }
    }
}

/// One rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Rule {
    /// Its name in reports.
    pub id: &'static str,
    /// The fault, as it is seen on the body.
    pub fault: &'static str,
    /// What is done about it.
    pub mark: Mark,
    /// What is measured.
    pub measured: &'static str,
    /// How much it may be out.
    pub tolerance: &'static str,
    /// Why it matters on the body.
    pub why: &'static str,
    /// What is usually done.
    pub cure: &'static str,
    /// Where the rule comes from.
    pub source: &'static str,
    /// Words in the names or labels of choices that usually cure it, the most usual first.
    pub choices: &'static [&'static str],
}

/// The rule of this name.
pub fn rule(id: &str) -> Option<&'static Rule> {
    RULES.iter().find(|r| r.id == id)
}

/// Side seam twists or puckers.
pub const F1: Rule = Rule {
    id: "F1",
    fault: "Side seam twists or puckers",
    mark: Mark::Enforced,
    measured: "length of one side of a seam less the other less the declared ease, darts closed",
    tolerance: "1/8 in; with ease intended between 0 and 3/8 in",
    why: "The longer side bubbles or drags, and the seam twists round the leg.",
    cure: "True it between each two notches, never only at the hem.",
    source: "common practice, no source; accuracy: Threads magazine 200",
    choices: &["side rise", "waist rise", "hem rise"],
};

/// Segment mismatch.
pub const F2: Rule = Rule {
    id: "F2",
    fault: "Segment mismatch",
    mark: Mark::Enforced,
    measured: "the same between each two pairs of notches, while the whole agrees",
    tolerance: "1/16 in",
    why: "The notches can't meet, so one stretch is pulled and the next one bubbles.",
    cure: "Move the notch, then true.",
    source: "common practice, no source",
    choices: &[],
};

/// Peak or dip at the side waist or side hem.
pub const F3: Rule = Rule {
    id: "F3",
    fault: "Peak or dip at the side waist or side hem",
    mark: Mark::Enforced,
    measured: "the angles inside the two pieces at the shared end of a seam add up to 180 degrees",
    tolerance: "2 degrees",
    why: "The waist or the hem shows a point or a notch where the seam meets it.",
    cure: "Blend both edges over 2 to 3 in.",
    source: "common practice, no source",
    choices: &["hem rise", "side rise", "waist rise"],
};

/// Peak or dip at the fold or the centre.
pub const F4: Rule = Rule {
    id: "F4",
    fault: "Peak or dip at the fold or the centre",
    mark: Mark::Enforced,
    measured: "the angle inside the piece at the end of a fold, or of a seam sewn to its twin, is 90 degrees",
    tolerance: "1 degree",
    why: "Opened out, the waist or the hem shows a point or a dip at the centre.",
    cure: "Square the first 1/2 to 1 in from the centre.",
    source: "common practice, no source",
    choices: &["train shape"],
};

/// Waist kinks at the darts.
pub const F5: Rule = Rule {
    id: "F5",
    fault: "Waist kinks at the darts",
    mark: Mark::Enforced,
    measured: "the waist runs on straight where a dart is closed: 180 degrees",
    tolerance: "2 degrees",
    why: "The closed dart leaves a corner in the waist seam.",
    cure: "Draw the waist with the dart closed, and cut the cap anew.",
    source: "W5 (closed form)",
    choices: &["darts", "dart share"],
};

/// Dart legs unequal.
pub const F6: Rule = Rule {
    id: "F6",
    fault: "Dart legs unequal",
    mark: Mark::Enforced,
    measured: "the length of one leg less the other, from the mouth to the tip",
    tolerance: "1/16 in",
    why: "The dart twists and its end puckers.",
    cure: "Mark the tip again, square from the middle of the mouth.",
    source: "common practice, no source",
    choices: &[],
};

/// Bubble at a dart tip.
pub const F7: Rule = Rule {
    id: "F7",
    fault: "Bubble at a dart tip",
    mark: Mark::Enforced,
    measured: "a waist dart's tip lies 3/4 in or more above the fullest level, and half its angle is 7.5 degrees or less",
    tolerance: "3/4 in; 7.5 degrees",
    why: "The cloth pokes out at the point of the dart.",
    cure: "Split it in two, lengthen it, or curve its legs.",
    source: "common practice, no source",
    choices: &["darts", "dart length", "dart share"],
};

/// Tight or loose hip.
pub const F8: Rule = Rule {
    id: "F8",
    fault: "Tight or loose hip",
    mark: Mark::Enforced,
    measured: "the pattern round the hip, stretched if the cloth stretches, less the hip (over pads, if she wears them): 0 or more; in cloth that does not stretch 1 in or more, else she is asked",
    tolerance: "stops under 0 by 1/8 in; asks under 1 in",
    why: "Folds lie across below the waist and the skirt rides up.",
    cure: "Let the side seams out evenly; add in quarters.",
    source: "USDA, Fitting Dresses (1946)",
    choices: &["hip ease"],
};

/// Pull at the high hip, or a shelf at the hip.
pub const F9: Rule = Rule {
    id: "F9",
    fault: "Pull at the high hip, or a shelf at the hip",
    mark: Mark::Enforced,
    measured: "the pattern 3 1/2 in below the waist less the high hip; 3 in below, what it has over the high hip and the hip's ease; the turn of the side within 2 in at the hip line; how far the side bows out beyond waist and hip",
    tolerance: "1/4 in too little, 1 in (1/4 in a quarter) too much; 20 degrees; 1/4 in",
    why: "It pulls over the belly, or a corner stands out at the hip.",
    cure: "Move shaping from the side into darts or panel seams; flatten the curve.",
    source: "common practice, no source",
    choices: &["darts", "dart share", "hip hold", "hip ease"],
};

/// Cannot walk.
pub const F10: Rule = Rule {
    id: "F10",
    fault: "Cannot walk",
    mark: Mark::Enforced,
    measured: "the longest step that every closed level allows, from the hip joint down to the hem or the top of a slit; two legs in a loop, stretched if the cloth stretches",
    tolerance: "stops under 1.637 of one leg (at the thighs, where flesh gives, up to a fifth less); of her height: asks under 0.20, notes under 0.30 (short steps) and 0.36 (slightly short)",
    why: "She takes short steps, and stairs only sideways or with the skirt lifted.",
    cure: "Raise the break, add flare, a vent or a godet, or take less out.",
    source: "two-circle loop and hip-joint pivot, derived; heights and girths: US Army surveys 1988, 2012",
    choices: &[
        "tightening",
        "step wanted",
        "girth wanted",
        "break lift",
        "break",
        "knee",
        "slit",
        "vent",
        "flare",
        "hem width",
    ],
};

/// Cannot sit.
pub const F11: Rule = Rule {
    id: "F11",
    fault: "Cannot sit",
    mark: Mark::Enforced,
    measured: "the pattern round the hip less the hip when she sits, or less the hip and 1 in when that was not measured; below the knee, the loop at the knees against 1.637 of a bent knee (13 % more than straight)",
    tolerance: "0",
    why: "The seat strains, the waist gapes at the back and the skirt creeps up.",
    cure: "More ease, a vent; a lower break only if she will only stand.",
    source: "A. Rudolf et al., Materials 2021, 14(18), 5124",
    choices: &[
        "hip ease",
        "tightening",
        "step wanted",
        "girth wanted",
        "slit",
        "vent",
    ],
};

/// Drag lines at the knee.
pub const F12: Rule = Rule {
    id: "F12",
    fault: "Drag lines at the knee",
    mark: Mark::Enforced,
    measured: "over half an inch of a seam that runs down, at its hollowest: on a radius R the allowance SA must stretch by 2 SA / (R - SA) when pressed open; the turn at the break: the slope of the line from hip to break and the slope below it",
    tolerance: "clip above 10 %; ask above 25 %; 40 degrees",
    why: "The allowance is too short round the hollow and pulls pleats beside the knee.",
    cure: "A longer blend, 3 to 6 in each way; an allowance of 3/8 in clipped to 1/8 in of the seam; more seams; less tightening.",
    source: "derived: W1",
    choices: &["blend", "tightening", "flare", "gores", "panels"],
};

/// Front too flared.
pub const F13: Rule = Rule {
    id: "F13",
    fault: "Front too flared",
    mark: Mark::Enforced,
    measured: "all that the front flares below the break or hip at its seams, a centre back flare counting for the back, is no more than the back's",
    tolerance: "1/4 in",
    why: "The front wraps round the legs; the width belongs behind.",
    cure: "Shift flare from the front to the back.",
    source: "common practice, no source",
    choices: &["front flare", "flare"],
};

/// Side seam swings.
pub const F14: Rule = Rule {
    id: "F14",
    fault: "Side seam swings",
    mark: Mark::Enforced,
    measured: "the slope of both sides of a seam from the break or hip to the hem, each from the plumb, where both grains are plumb",
    tolerance: "5 degrees",
    why: "The side seam swings forward or back instead of hanging plumb.",
    cure: "Make the flare on both sides of the seam alike.",
    source: "common practice, no source",
    choices: &["flare", "front flare", "back flare"],
};

/// Hem uneven.
pub const F15: Rule = Rule {
    id: "F15",
    fault: "Hem uneven",
    mark: Mark::Enforced,
    measured: "from waist to hem along the centre front, side and centre back, each less her floor measure there: of three the one in the middle is right, but a front that touches the floor is never too short; between two seams the hem lies no lower and no higher than at both",
    tolerance: "1/4 in",
    why: "The hem dips or rises between the seams.",
    cure: "True at the waist; mark the hem from the floor on her.",
    source: "The Perfect Dressmaking System (1914)",
    choices: &["side rise", "waist rise", "length"],
};

/// Hem short over the seat.
pub const F16: Rule = Rule {
    id: "F16",
    fault: "Hem short over the seat",
    mark: Mark::Enforced,
    measured: "the same where the centre back is too short; more than 2 in may be meant so and is noted",
    tolerance: "1/4 in",
    why: "The hem rises behind, carried up by the seat.",
    cure: "Open a wedge across the centre back at the seat, to nothing at the side.",
    source: "common practice, no source",
    choices: &["back drop", "length"],
};

/// Back folds below the waist.
pub const F17: Rule = Rule {
    id: "F17",
    fault: "Back folds below the waist",
    mark: Mark::Enforced,
    measured: "the same where the centre back is too long; a train is none, and more than 2 in without one is noted",
    tolerance: "1/4 in",
    why: "A fold lies across below the waist behind.",
    cure: "Lower the centre back waist 1/4 to 3/4 in, to nothing at the side.",
    source: "common practice, no source",
    choices: &["back drop"],
};

/// Front hikes up.
pub const F18: Rule = Rule {
    id: "F18",
    fault: "Front hikes up",
    mark: Mark::Enforced,
    measured: "the same where the centre front is too short; more than 2 in may be meant so and is noted",
    tolerance: "1/4 in",
    why: "The front hem stands up over the belly.",
    cure: "Raise the centre front waist, or open a wedge.",
    source: "common practice, no source",
    choices: &["front drop"],
};

/// Front trips her.
pub const F19: Rule = Rule {
    id: "F19",
    fault: "Front trips her",
    mark: Mark::Enforced,
    measured: "how far the front hem is from the floor, in her shoes, where the skirt reaches down to it",
    tolerance: "1/2 in",
    why: "She treads on the front hem.",
    cure: "Shorten it: 1 in clear of the floor in front.",
    source: "common practice, no source",
    choices: &["length"],
};

/// Train catches or rolls.
pub const F20: Rule = Rule {
    id: "F20",
    fault: "Train catches or rolls",
    mark: Mark::Enforced,
    measured: "in the fan of the piece the skirt grows longer from the side to the end of the train without turning back; half its length is reached when at least half of the hem is still to come; the hem has no corner",
    tolerance: "1/16 in; half of the hem less a tenth; 10 degrees",
    why: "The train rolls under, or catches at the heels.",
    cure: "Begin to lengthen behind the side seam, widen it, stiffen the hem, bustle it.",
    source: "common practice, no source",
    choices: &["train width", "train shape", "train length"],
};

/// Sweep tilts to one side.
pub const F21: Rule = Rule {
    id: "F21",
    fault: "Sweep tilts to one side",
    mark: Mark::Enforced,
    measured: "left and right are one outline: a half on the fold, or a mirrored pair; a piece cut singly is the same to left and right of its centre, or its twin is in the pattern",
    tolerance: "1/8 in",
    why: "The sweep swings to one side.",
    cure: "Cut the pair anew, one on the other.",
    source: "common practice, no source",
    choices: &[],
};

/// Grain off.
pub const F22: Rule = Rule {
    id: "F22",
    fault: "Grain off",
    mark: Mark::Enforced,
    measured: "the grain arrow against the plumb, the true bias or across, whichever is nearest, where the piece lies as it hangs; every piece of the shell has one",
    tolerance: "3 degrees",
    why: "One edge droops and the skirt twists as it hangs.",
    cure: "Draw the grain anew, or let it hang a day and mark the hem again.",
    source: "common practice, no source",
    choices: &[],
};

/// Cannot get in.
pub const F23: Rule = Rule {
    id: "F23",
    fault: "Cannot get in",
    mark: Mark::Enforced,
    measured: "every closed level from the opening's foot to the hip is as large as the hip (stepping in); or every closed level passes bust and shoulders, and below the hip the hip (over the head)",
    tolerance: "0; stops when short by more than 1 in or without any opening",
    why: "She can't get into it.",
    cure: "A longer opening, to the level at which it is as wide as her hip.",
    source: "common practice, no source",
    choices: &["zip length", "opening", "zip"],
};

/// Notch without a partner.
pub const F24: Rule = Rule {
    id: "F24",
    fault: "Notch without a partner",
    mark: Mark::Enforced,
    measured: "each notch has one partner with as many snips at about the same distance along the seam",
    tolerance: "1/2 in",
    why: "A lone notch sends the seam astray.",
    cure: "Put the partner in, or take the lone one out.",
    source: "common practice, no source",
    choices: &[],
};

/// Hollow and round edges do not agree.
pub const F25: Rule = Rule {
    id: "F25",
    fault: "Hollow and round edges do not agree",
    mark: Mark::Enforced,
    measured: "where a round edge is sewn to a hollow one the ease is between 0 and 1/4 in",
    tolerance: "1/4 in; less than 0 by 1/8 in",
    why: "The panel seam puckers over the bust, or drags beside it.",
    cure: "Walk it again; ease only within 3 in of the fullest place.",
    source: "common practice, no source",
    choices: &[],
};

/// Print or nap the wrong way.
pub const F26: Rule = Rule {
    id: "F26",
    fault: "Print or nap the wrong way",
    mark: Mark::Enforced,
    measured: "with a nap all grain arrows of the shell point down, and the length runs along the cloth; with a repeat paired notches lie as far along the grain from the first pair on both pieces; stretch cloth gives round the body",
    tolerance: "0; 1/8 in",
    why: "One panel shades or its print breaks at the seam.",
    cure: "Lay all pieces one way; allow a repeat for each piece.",
    source: "common practice, no source",
    choices: &[],
};

/// Hip pads: the knee strains.
pub const F27: Rule = Rule {
    id: "F27",
    fault: "Hip pads: the knee strains",
    mark: Mark::Enforced,
    measured: "with hip pads the break is reckoned from the natural hip: its girth against the hip and its ease less four times the tightening, or against the girth she wanted",
    tolerance: "1 in too little; 1 in and half of what the pads add too much",
    why: "The pads are not there at the knee: the skirt hangs wide, or binds, where it was reckoned from them.",
    cure: "Reckon the knee again from the natural hip.",
    source: "common practice, no source",
    choices: &["tightening", "girth wanted"],
};

/// Waist sum wrong.
pub const F28: Rule = Rule {
    id: "F28",
    fault: "Waist sum wrong",
    mark: Mark::Enforced,
    measured: "along the waist edges, darts closed, against the waist measure and its ease (a gathered top by its band); against the band or bodice that is sewn to it, with what is eased in",
    tolerance: "1/8 in; where nothing says the ease, 1/8 in less or 2 in more than hers",
    why: "The waist can't be set into its band, or slips down.",
    cure: "Take more or less in the darts, spread over all of them.",
    source: "common practice, no source",
    choices: &["waist ease", "dart", "waist sum"],
};

/// Allowance missing or odd.
pub const F29: Rule = Rule {
    id: "F29",
    fault: "Allowance missing or odd",
    mark: Mark::Enforced,
    measured: "every edge but a fold has an allowance, like its partner's (unlike ones are noted), the cutting line lies outside the stitching line by it, and the ends of partners' allowances agree",
    tolerance: "0.05 mm; 1/16 in",
    why: "There is nothing to sew by, or the ends don't meet when the seam is pressed.",
    cure: "Give the edge its allowance and its corner.",
    source: "common practice, no source",
    choices: &["allowance"],
};

/// Piece wider than the cloth.
pub const F30: Rule = Rule {
    id: "F30",
    fault: "Piece wider than the cloth",
    mark: Mark::Enforced,
    measured: "how wide a shell piece is across the grain, allowances and all, opened out where it is cut on the fold, against the usable width; without a cloth against 60 in",
    tolerance: "0",
    why: "It can't be cut from this cloth.",
    cure: "Turn it, put a seam where the flare hides it, or take a wider cloth.",
    source: "closed form",
    choices: &["gores", "panels", "parts", "flare", "train width"],
};

/// Paper scale wrong.
pub const F31: Rule = Rule {
    id: "F31",
    fault: "Paper scale wrong",
    mark: Mark::DraftersDuty,
    measured: "the printed squares: 4 in and 10 cm on the first page, 2 in or 5 cm on every sheet",
    tolerance: "1/32 in in 4 in",
    why: "Every seam is too long or too short by the same share.",
    cure: "Print again at 100 %, actual size.",
    source: "closed form",
    choices: &[],
};

/// Heavy skirt drags the bodice down.
pub const F32: Rule = Rule {
    id: "F32",
    fault: "Heavy skirt drags the bodice down",
    mark: Mark::Enforced,
    measured: "the area of the shell pieces, allowances and all, by the weight of the cloth",
    tolerance: "note above 1.5 kg, ask above 2 kg",
    why: "It pulls the waist down and the bodice with it.",
    cure: "A waist stay, bones, straps; a lighter cloth.",
    source: "from memory",
    choices: &[],
};

/// Narrow skirt binds at the thigh.
pub const F33: Rule = Rule {
    id: "F33",
    fault: "Narrow skirt binds at the thigh",
    mark: Mark::Enforced,
    measured: "the pattern 12 in below the waist against both thighs together; where those were not measured, 5 in below the hip line against 1.637 of one leg there, but no more than her hip",
    tolerance: "1/8 in; reckoned, notes beyond 3.3 % and asks beyond 6.6 %",
    why: "The skirt rides up from the thighs at each step.",
    cure: "Widen the hip line, or begin the tightening lower.",
    source: "L. I. Baldt, Clothing for Women (1916)",
    choices: &["tightening", "hip ease", "flare"],
};

/// A correction without a place.
pub const F34: Rule = Rule {
    id: "F34",
    fault: "Correction of a fitting lost",
    mark: Mark::Enforced,
    measured: "every correction laid over the draft finds its piece, its edge and its places, and can be drawn",
    tolerance: "0",
    why: "The pattern would be cut without what was pinned on her.",
    cure: "Place it on an edge that is there now, or take it off.",
    source: "common practice, no source",
    choices: &[],
};

/// All rules, in order.
pub const RULES: &[Rule] = &[
    F1, F2, F3, F4, F5, F6, F7, F8, F9, F10, F11, F12, F13, F14, F15, F16, F17, F18, F19, F20, F21,
    F22, F23, F24, F25, F26, F27, F28, F29, F30, F31, F32, F33, F34,
];
