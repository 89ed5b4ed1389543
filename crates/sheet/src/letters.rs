//! How large the letters on a piece are: for paper held in the hand, and for the roll, which is read
//! standing.

/// A form of the label: the name and the facts in points, the greatest width in mm.
pub(crate) type Form = (f64, f64, f64);

/// The sizes of letters on a piece.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Letters {
    /// Forms of the label, from the best to the smallest that is still legible.
    pub(crate) label: &'static [Form],
    /// Labels with facts at least this large lie across before a smaller one stands upright.
    pub(crate) upright: f64,
    /// The form of a label that finds no room on its piece.
    pub(crate) beside: Form,
    /// Names of edges and levels, figures, words at notches.
    pub(crate) words: f64,
    /// "Grain".
    pub(crate) grain: f64,
    /// The short label.
    pub(crate) repeat: f64,
    /// Remarks stand in the head of the sheet; a label only sends there.
    pub(crate) headed: bool,
}

/// No letter is smaller than this, in points.
pub(crate) const LEAST: f64 = 11.0;

/// For tiles, and for drawings on a screen.
pub(crate) const HAND: Letters = Letters {
    label: &[
        (34.0, 14.0, 96.0),
        (34.0, 14.0, 76.0),
        (22.0, 11.0, 80.0),
        (22.0, 11.0, 60.0),
        (17.0, 11.0, 46.0),
        (17.0, 11.0, 110.0),
        (14.0, 11.0, 170.0),
        (14.0, 11.0, 240.0),
        (11.0, 11.0, 400.0),
    ],
    upright: 11.0,
    beside: (17.0, 11.0, 64.0),
    words: 11.0,
    grain: 14.0,
    repeat: 14.0,
    headed: false,
};

/// For the roll and other large sheets.
pub(crate) const ROLL: Letters = Letters {
    label: &[
        (42.0, 17.0, 118.0),
        (42.0, 17.0, 94.0),
        (42.0, 17.0, 76.0),
        (34.0, 14.0, 76.0),
        (26.0, 14.0, 62.0),
        (22.0, 14.0, 52.0),
        (22.0, 11.0, 80.0),
        (22.0, 11.0, 60.0),
        (17.0, 11.0, 46.0),
        (17.0, 11.0, 110.0),
        (14.0, 11.0, 170.0),
        (14.0, 11.0, 240.0),
        (11.0, 11.0, 400.0),
    ],
    upright: 14.0,
    beside: (22.0, 14.0, 80.0),
    words: 17.0,
    grain: 17.0,
    repeat: 17.0,
    headed: true,
};
