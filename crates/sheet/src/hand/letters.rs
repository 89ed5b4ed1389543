//! The letters by which points are called: no I and no O, which are read as figures.

/// The letters, as they are given out: A to Z, then AA, AB and so on.
const LETTERS: &[u8] = b"ABCDEFGHJKLMNPQRSTUVWXYZ";

/// The letter of the n-th point.
pub(crate) fn letter(n: usize) -> String {
    let many = LETTERS.len();
    let mut out = Vec::new();
    let mut left = n;
    loop {
        out.push(char::from(LETTERS[left % many]));
        if left < many {
            break;
        }
        left = left / many - 1;
    }
    out.iter().rev().collect()
}

/// A name as it is read on paper: `dart 1`, not `dart number 1`.
pub(crate) fn said(name: &str) -> String {
    name.replace(" number ", " ")
}
