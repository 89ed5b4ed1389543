//! Every word that a sheet says of itself, in English; another language is another table.

use crate::drawing::Layer;
use crate::locale::{Fractions, Locale};
use crate::order::Weight;

/// Makes the table, and the ways to go through all of it.
macro_rules! table {
    ($(pub $name:ident: &'static str,)*) => {
        /// The words of one language. A word in braces is filled in.
        #[derive(Clone, Copy, Debug)]
        #[expect(missing_docs, reason = "each word says itself what it is")]
        pub struct Words {
            pub locale: Locale,
            $(pub $name: &'static str,)*
        }

        impl Words {
            /// All words with their names.
            pub fn all(&self) -> Vec<(&'static str, &'static str)> {
                vec![$((stringify!($name), self.$name),)*]
            }

            /// A table with each word made anew from this one's, for another language.
            #[must_use]
            pub fn each(&self, anew: impl Fn(&'static str, &'static str) -> &'static str) -> Self {
                Self {
                    locale: self.locale,
                    $($name: anew(stringify!($name), self.$name),)*
                }
            }
        }
    };
}

table! {
    pub language: &'static str,
    pub cutting_line: &'static str,
    pub stitching_line: &'static str,
    pub fold_and_grain: &'static str,
    pub balance_lines: &'static str,
    pub notches_and_darts: &'static str,
    pub text: &'static str,
    pub construction: &'static str,
    pub sheet_marks: &'static str,

    pub grain: &'static str,
    pub grain_one_way: &'static str,
    pub on_the_fold: &'static str,
    pub lengthen: &'static str,
    pub piece_of: &'static str,
    pub cut_some: &'static str,
    pub cut_fold: &'static str,
    pub cut_pair: &'static str,
    pub allowances_included: &'static str,
    pub no_allowances: &'static str,
    pub right_side: &'static str,
    pub not_drawn: &'static str,
    pub full_width: &'static str,
    pub version: &'static str,
    pub long_check: &'static str,

    pub lies_here: &'static str,
    pub cut_here: &'static str,
    pub page_of: &'static str,
    pub square_inches: &'static str,
    pub square_cm: &'static str,
    pub estimates: &'static str,
    pub read_first: &'static str,
    pub some_estimates: &'static str,
    pub estimates_roll: &'static str,

    pub plot_full_inches: &'static str,
    pub plot_full_cm: &'static str,
    pub then_measure: &'static str,
    pub nothing_to_measure: &'static str,
    pub rule: &'static str,
    pub sheet_of: &'static str,
    pub part_of: &'static str,
    pub in_parts: &'static str,
    pub lies_across: &'static str,
    pub many_sheets: &'static str,
    pub all_pieces: &'static str,

    pub pattern_for: &'static str,
    pub inner_square: &'static str,
    pub outer_square: &'static str,
    pub print_full_inches: &'static str,
    pub print_full_cm: &'static str,
    pub body: &'static str,
    pub chosen: &'static str,
    pub finished: &'static str,
    pub inches: &'static str,
    pub centimetres: &'static str,
    pub pieces: &'static str,
    pub findings: &'static str,
    pub cautions: &'static str,
    pub before: &'static str,
    pub go_on: &'static str,
    pub tile_map: &'static str,
    pub map_goes_on: &'static str,
    pub measure_squares: &'static str,
    pub then_tape: &'static str,
    pub then_tape_plain: &'static str,
    pub and: &'static str,
    pub seam_on_seam: &'static str,
    pub same_version: &'static str,
    pub blank_sheets: &'static str,
    pub on_fold: &'static str,
    pub a_pair: &'static str,
    pub times: &'static str,
    pub cloth_cut: &'static str,
    pub map_name: &'static str,
    pub stop: &'static str,
    pub ask: &'static str,
    pub note: &'static str,
    pub boxes: &'static str,
    pub steps: &'static str,
    pub measured_on: &'static str,
    pub ordered_for: &'static str,
    pub to_partner: &'static str,
    pub partner: &'static str,
    pub twin: &'static str,
    pub end_of_opening: &'static str,
    pub waist: &'static str,
    pub hip: &'static str,
    pub break_girth: &'static str,
    pub hem: &'static str,
    pub longest_step: &'static str,
    pub free_step: &'static str,
    pub with_cure: &'static str,
    pub untrued: &'static str,
    pub estimates_are: &'static str,
    pub estimate: &'static str,
    pub estimate_label: &'static str,
    pub reckoned_label: &'static str,
    pub yes: &'static str,
    pub no: &'static str,

    pub quote: &'static str,
    pub quote_number: &'static str,
    pub quote_for: &'static str,
    pub quote_what: &'static str,
    pub quote_how_much: &'static str,
    pub quote_in_all: &'static str,
    pub quote_paid: &'static str,
    pub quote_terms: &'static str,
    pub quote_sign_client: &'static str,
    pub quote_sign_maker: &'static str,

    pub blank: &'static str,
    pub blank_for: &'static str,
    pub blank_day: &'static str,
    pub blank_taker: &'static str,
    pub blank_over: &'static str,
    pub blank_shoes: &'static str,
    pub blank_tie: &'static str,
    pub blank_twice: &'static str,
    pub blank_notes: &'static str,

    pub dxf_square: &'static str,
    pub dxf_units: &'static str,
    pub dxf_says: &'static str,
    pub hand_sheet: &'static str,
    pub class_sheet: &'static str,
    pub hand_title: &'static str,
    pub points_and_curves: &'static str,
    pub from_to: &'static str,
    pub whole_seam: &'static str,
    pub across: &'static str,
    pub down: &'static str,
    pub up: &'static str,
    pub inward: &'static str,
    pub stands: &'static str,
    pub dart_letters: &'static str,
    pub corner_letter: &'static str,
    pub corner_letters: &'static str,
    pub hand_inches: &'static str,
    pub hand_cm: &'static str,
    pub plates: &'static str,
    pub measured_from: &'static str,
    pub as_sheet: &'static str,
    pub set_choices: &'static str,
    pub down_head: &'static str,
    pub across_head: &'static str,
    pub along_head: &'static str,
    pub along_edge: &'static str,
    pub beside_point: &'static str,
    pub how_to_read: &'static str,
    pub straight_rest: &'static str,
    pub from_beginning: &'static str,
    pub seam_proof: &'static str,
    pub first_less_second: &'static str,
    pub proof_inches: &'static str,
    pub proof_cm: &'static str,
    pub no_proof: &'static str,
    pub trued_already: &'static str,
    pub take_off: &'static str,
    pub finish: &'static str,
    pub cut_and_add: &'static str,
    pub add_to: &'static str,
    pub no_cover: &'static str,
    pub to_draft_by_hand: &'static str,
    pub your_client: &'static str,
    pub you_choose: &'static str,
    pub all_round: &'static str,
    pub girth_drawn: &'static str,
    pub usual_in_brackets: &'static str,
    pub name_line: &'static str,
    pub truing: &'static str,
}

/// English.
pub const ENGLISH: Words = Words {
    locale: Locale {
        decimal: ".",
        thousands: ",",
        fractions: Fractions::Drawn,
        inch: "in",
        cm: "cm",
        months: [
            "January",
            "February",
            "March",
            "April",
            "May",
            "June",
            "July",
            "August",
            "September",
            "October",
            "November",
            "December",
        ],
        date: "{day} {month} {year}",
    },
    language: "en",
    cutting_line: "Cutting line",
    stitching_line: "Stitching line",
    fold_and_grain: "Fold and grain",
    balance_lines: "Balance lines",
    notches_and_darts: "Notches and darts",
    text: "Text",
    construction: "Construction",
    sheet_marks: "Sheet marks",

    grain: "Grain",
    grain_one_way: "Grain, one way",
    on_the_fold: "{edge}, on the fold",
    lengthen: "Lengthen or shorten here",
    piece_of: "{n} of {of}",
    cut_some: "{cloth}: cut {n}",
    cut_fold: "{cloth}: cut {n} on the fold",
    cut_pair: "{cloth}: cut {n}, a mirrored pair",
    allowances_included: "Allowances are included",
    no_allowances: "No allowances",
    right_side: "Printed side is the right side",
    not_drawn: "Allowances are not drawn: add them",
    full_width: "Full width, opened out at the {edge}",
    version: "version {v}",
    long_check: "{a} to {b}",

    lies_here: "{tile} lies on this strip",
    cut_here: "cut along this line",
    page_of: "page {n} of {of}",
    square_inches: "each side 2 in",
    square_cm: "each side 5 cm",
    estimates: "estimates: see page 1",
    read_first: "read the first page",
    some_estimates: "Some measures are estimates",
    estimates_roll: "remarks: see the title",

    plot_full_inches: "Plot at full size, 100 %. If a side of a square is out by 1/32 in or more, plot again.",
    plot_full_cm: "Plot at full size, 100 %. If a side of a square is out by 1 mm or more, plot again.",
    then_measure: "Then measure with a tape:",
    nothing_to_measure: "Measure before you cut.",
    rule: "The rule at the edge, {a} to {b}",
    sheet_of: "sheet {n} of {of}",
    part_of: "{piece}, part {n} of {of}",
    in_parts: "{piece} is larger than the paper: it comes in {n} parts. Cut one part at its line and lay it on the dotted line of the next, cross on cross.",
    lies_across: "{piece} is too wide for this paper: it lies across, its grain with it.",
    many_sheets: "{n} sheets: one alone would be too long.",
    all_pieces: "Pieces: {list}.",

    pattern_for: "{client}. Pattern {version}",
    inner_square: "10 cm",
    outer_square: "4 in",
    print_full_inches: "Print at 100 %, actual size. If a side is out by 1/32 in or more, print again.",
    print_full_cm: "Print at 100 %, actual size. If a side is out by 1 mm or more, print again.",
    body: "Body",
    chosen: "Chosen",
    finished: "Finished",
    inches: "inches",
    centimetres: "centimetres",
    pieces: "Pieces",
    findings: "Findings",
    cautions: "Cautions",
    before: "Before you cut",
    go_on: "{head}, continued",
    tile_map: "The sheets",
    map_goes_on: "The map of the sheets goes on overleaf.",
    measure_squares: "Measure both squares.",
    then_tape: "Tape, then measure {checks}.",
    then_tape_plain: "Tape the sheets of each piece.",
    and: "and",
    seam_on_seam: "Lay seam on seam: the notches meet.",
    same_version: "Every sheet says {version}.",
    blank_sheets: "Crossed sheets are blank and not printed.",
    on_fold: "{n} on the fold",
    a_pair: "{n}, a mirrored pair",
    times: "{n}",
    cloth_cut: "{cloth}: {how}",
    map_name: "{n} {piece}",
    stop: "Stop",
    ask: "Ask",
    note: "Note",
    boxes: "A box stands for a letter that the fonts do not have. Nothing is left out.",
    steps: "Steps",
    measured_on: "measured {date}",
    ordered_for: "{client}, {version}",
    to_partner: "{edge}, to {partner}",
    partner: "the {piece} {edge}",
    twin: "its twin",
    end_of_opening: "end of the opening",
    waist: "Waist",
    hip: "Hip",
    break_girth: "Break",
    hem: "Hem",
    longest_step: "Longest step, about",
    free_step: "as she likes",
    with_cure: "{says} Cure: {cure}",
    untrued: "As the hand drew it: its seams are not matched. To look at, not to cut by.",
    estimates_are: "Not measured but reckoned from the other measures, with the range in which nine women in ten like her lie: {all}. Measure her and draw again before you cut good cloth.",
    estimate: "{measure} {value} ({low} to {high})",
    estimate_label: "{measure}, estimate",
    reckoned_label: "{measure}, not measured",
    yes: "yes",
    no: "no",

    quote: "Quote",
    quote_number: "Order {order}, quote {n}",
    quote_for: "For",
    quote_what: "What",
    quote_how_much: "How much",
    quote_in_all: "In all, {currency}",
    quote_paid: "How it is paid",
    quote_terms: "Agreed",
    quote_sign_client: "Client, date",
    quote_sign_maker: "{maker}, date",

    blank: "Measures",
    blank_for: "Name or code",
    blank_day: "Day",
    blank_taker: "Taken by",
    blank_over: "Over what (foundation)",
    blank_shoes: "Shoes of the day, heel",
    blank_tie: "Tie a narrow tape round the natural waist and leave it there: every length begins at its lower edge. Tape level and snug, not tight; she looks ahead, someone else reads.",
    blank_twice: "Take each measure twice. Girths, and lengths over {long}, agree within {wide}; short ones within {fine}. Else take it a third time.",
    blank_notes: "Posture, figure, anything else",

    dxf_square: "each side 100 mm",
    dxf_units: "units: mm",
    dxf_says: "DXF R12, layers after ASTM D6673 (withdrawn 2019); not certified",
    hand_sheet: "Hand sheet",
    class_sheet: "Class sheet",
    hand_title: "{sheet}: {title}",
    points_and_curves: "Points and curves",
    from_to: "{a} to {b}",
    whole_seam: "whole",
    across: "{d} across",
    down: "{d} down",
    up: "{d} up",
    inward: "{d} in",
    stands: "{name} is {where}.",
    dart_letters: "{a} and {b} are its mouth, {tip} its tip.",
    corner_letter: "Its corner is {a}.",
    corner_letters: "Its corners are {some} and {last}.",
    hand_inches: "Inches; stitching lines, no allowances.",
    hand_cm: "Centimetres; stitching lines, no allowances.",
    plates: "Plates are drawn at 1 to {scale}; thick lines are new.",
    measured_from: "Down is from the {top}, across from the {left}.",
    as_sheet: "As {like}; also:",
    set_choices: "Chosen: {all}.",
    down_head: "Down",
    across_head: "Across",
    along_head: "Along",
    along_edge: "{edge}: {letters}.",
    beside_point: "beside {a}",
    how_to_read: "\u{2013} is up, or in past the line. All is rounded together: where a sum comes out a little otherwise, the table holds.",
    straight_rest: "What has no figures is straight from letter to letter.",
    from_beginning: "Along is measured on the edge, from {a}.",
    seam_proof: "Seam proof, after rounding",
    first_less_second: "First less second",
    proof_inches: "Walked from figure to figure, darts closed. Good: 1/16 in from letter to letter, 1/8 in for the whole seam.",
    proof_cm: "Walked from figure to figure, darts closed. Good: 1.5 mm from letter to letter, 3 mm for the whole seam.",
    no_proof: "The seams of this pattern come about when its pieces are worked: walk them then.",
    trued_already: "Nothing is left to true: all figures are given as they stand after it.",
    take_off: "Pieces",
    finish: "Edges",
    cut_and_add: "Cut, and add at the edges",
    add_to: "{cut}. Add {add}.",
    no_cover: "Before you cut",
    to_draft_by_hand: "{title}, to draft by hand",
    your_client: "Your client: ",
    you_choose: "Chosen: ",
    all_round: "All round, after rounding",
    girth_drawn: "{name} {exact}, as drawn {drawn}.",
    usual_in_brackets: "In brackets stands what the method takes if you choose nothing.",
    name_line: "Name",
    truing: "Truing",
};

impl Words {
    /// The name of a layer.
    pub(crate) const fn layer(&self, layer: Layer) -> &'static str {
        match layer {
            Layer::Cutting => self.cutting_line,
            Layer::Stitching => self.stitching_line,
            Layer::Grain => self.fold_and_grain,
            Layer::Balance => self.balance_lines,
            Layer::Notches => self.notches_and_darts,
            Layer::Text => self.text,
            Layer::Construction => self.construction,
            Layer::Sheet | Layer::Plain => self.sheet_marks,
        }
    }

    /// The layer's identifier in files; the same in every language.
    pub(crate) const fn layer_id(layer: Layer) -> &'static str {
        match layer {
            Layer::Cutting => "cutting-line",
            Layer::Stitching => "stitching-line",
            Layer::Grain => "fold-and-grain",
            Layer::Balance => "balance-lines",
            Layer::Notches => "notches-and-darts",
            Layer::Text => "text",
            Layer::Construction => "construction",
            Layer::Sheet | Layer::Plain => "sheet-marks",
        }
    }

    /// The word for a weight.
    pub(crate) const fn weight(&self, weight: Weight) -> &'static str {
        match weight {
            Weight::Stop => self.stop,
            Weight::Ask => self.ask,
            Weight::Note => self.note,
        }
    }
}

/// A text with the words in braces filled in; what is filled in is not looked at again.
pub fn fill(template: &str, with: &[(&str, &str)]) -> String {
    let mut out = String::new();
    let mut rest = template;
    while let Some((before, after)) = rest.split_once('{') {
        out.push_str(before);
        let Some((name, after)) = after.split_once('}') else {
            out.push('{');
            rest = after;
            continue;
        };
        if let Some((_, value)) = with.iter().find(|(n, _)| *n == name) {
            out.push_str(value);
        }
        rest = after;
    }
    out.push_str(rest);
    out
}

/// A word with its first letter large, as at the beginning of a line.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters
        .next()
        .map(|c| c.to_uppercase().chain(letters).collect())
        .unwrap_or_default()
}
