//! Who is asking, and what the frame of her page says: known while her request is worked on.

use std::cell::RefCell;

/// What a page's frame needs to know about a request.
#[derive(Clone, Debug)]
pub(crate) struct Visit {
    /// The name of the workroom.
    pub(crate) name: String,
    /// A phone of the house, with fewer rights.
    pub(crate) phone: bool,
    /// Who did it, in a history: `here`, or the phone's name.
    pub(crate) by: String,
    /// The records are damaged: what can be read is shown.
    pub(crate) ill: bool,
    /// Whether single letters act as keys.
    pub(crate) letters: bool,
}

impl Default for Visit {
    fn default() -> Self {
        Self {
            name: "Ellwand".to_owned(),
            phone: false,
            by: "here".to_owned(),
            ill: false,
            letters: true,
        }
    }
}

tokio::task_local! {
    static TASK: Visit;
}
thread_local! {
    static WORK: RefCell<Option<Visit>> = const { RefCell::new(None) };
}

/// The visit that is being worked on.
pub(crate) fn now() -> Visit {
    TASK.try_with(Clone::clone)
        .ok()
        .or_else(|| WORK.with_borrow(Clone::clone))
        .unwrap_or_default()
}

/// Works on a request as this visit.
pub(crate) async fn during<F: Future>(visit: Visit, work: F) -> F::Output {
    TASK.scope(visit, work).await
}

/// The same on a thread of its own.
pub(crate) fn at_work<T>(visit: Visit, work: impl FnOnce() -> T) -> T {
    WORK.with_borrow_mut(|w| *w = Some(visit));
    let done = work();
    WORK.with_borrow_mut(|w| *w = None);
    done
}
