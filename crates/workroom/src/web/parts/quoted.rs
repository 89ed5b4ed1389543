//! Words that the engine marks, in quotation marks as one writes them.

/// A sentence of the engine with the words between back ticks in quotation marks.
pub(crate) fn quoted(says: &str) -> String {
    let mut open = false;
    says.chars()
        .map(|c| match c {
            '`' => {
                open = !open;
                if open { '“' } else { '”' }
            }
            c => c,
        })
        .collect()
}
