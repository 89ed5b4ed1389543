//! The nearest right word to one that is wrong.

/// How many letters must be changed, left out, put in or exchanged with their neighbour to make one
/// word of another.
pub fn distance(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    let mut rows: Vec<Vec<usize>> = vec![vec![0; b.len() + 1]; a.len() + 1];
    for (i, row) in rows.iter_mut().enumerate() {
        row[0] = i;
    }
    for (j, cell) in rows[0].iter_mut().enumerate() {
        *cell = j;
    }
    for i in 1..=a.len() {
        for j in 1..=b.len() {
            let change = usize::from(a[i - 1] != b[j - 1]);
            let mut best = (rows[i - 1][j] + 1)
                .min(rows[i][j - 1] + 1)
                .min(rows[i - 1][j - 1] + change);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                best = best.min(rows[i - 2][j - 2] + 1);
            }
            rows[i][j] = best;
        }
    }
    rows[a.len()][b.len()]
}

/// The word among many that is nearest to `word`, if one is near enough to be meant: about a third
/// of its letters may be wrong.
///
/// # Example
/// ```
/// assert_eq!(measure::words::nearest("wast", ["hip", "waist"]), Some("waist"));
/// assert_eq!(measure::words::nearest("elbow", ["hip", "waist"]), None);
/// ```
pub fn nearest<'a>(word: &str, among: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let size = word.chars().count();
    if size > 80 {
        return None;
    }
    let most = (size / 3).clamp(1, 4);
    among
        .into_iter()
        .filter(|w| w.chars().count().abs_diff(size) <= most)
        .map(|w| (distance(word, w), w))
        .filter(|(d, _)| *d <= most)
        .min_by_key(|(d, _)| *d)
        .map(|(_, w)| w)
}
