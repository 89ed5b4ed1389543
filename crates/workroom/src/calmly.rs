//! A fault inside the program reaches her as one calm sentence, never as a trace.

use std::cell::RefCell;
use std::panic::{self, UnwindSafe};
use std::path::Path;

thread_local! {
    static WHERE: RefCell<Option<String>> = const { RefCell::new(None) };
}

/// From now on a panic prints nothing by itself; its place is kept for [`tried`].
pub(crate) fn hush() {
    panic::set_hook(Box::new(|info| {
        let place = info.location().map(|l| {
            // Only the file's own name: the folders are those of whoever built the program.
            let name = Path::new(l.file()).file_name().unwrap_or_default();
            format!("{}, line {}", name.to_string_lossy(), l.line())
        });
        WHERE.with_borrow_mut(|w| *w = place);
    }));
}

/// Does a piece of work.
///
/// # Errors
/// When it panicked: a sentence for her.
pub(crate) fn tried<T>(work: impl FnOnce() -> T + UnwindSafe) -> Result<T, String> {
    panic::catch_unwind(work).map_err(|_| {
        let place = WHERE
            .with_borrow_mut(Option::take)
            .map_or_else(String::new, |p| format!(" ({p})"));
        format!(
            "Something is wrong inside Ellwand{place}, and nothing was written. \
             It is not your fault. Please send the card and the method to those who make it."
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_panic_becomes_a_sentence() {
        let message = tried(|| {
            assert!(std::hint::black_box(false), "no");
        })
        .unwrap_err();
        assert!(
            message.starts_with("Something is wrong inside Ellwand"),
            "{message}"
        );
    }
}
