//! Two windows changed the same thing: both are shown, and she keeps one. Nothing is lost.

use maud::html;

use crate::web::trouble::Trouble;

/// Mine and theirs of one thing, with the form that keeps mine.
pub(super) struct Both<'a> {
    /// What it is: "The notes".
    pub(super) what: &'a str,
    pub(super) mine: &'a str,
    pub(super) theirs: &'a str,
    /// Where mine is sent again.
    pub(super) action: String,
    /// What is sent with it.
    pub(super) fields: &'a [(&'a str, &'a str)],
    /// The button's name and value.
    pub(super) press: (&'a str, &'a str),
    /// Where theirs is looked at.
    pub(super) back: String,
}

impl Both<'_> {
    pub(super) fn trouble(&self) -> Trouble {
        let said = |text: &str| {
            if text.trim().is_empty() {
                "nothing".to_owned()
            } else {
                text.to_owned()
            }
        };
        Trouble::moved("Here are both. Nothing is lost: keep the one you want.")
            .back(self.back.clone(), "Keep theirs, and go on")
            .with(html! {
                dl.bothways {
                    div { dt { (self.what) ", yours" } dd { (said(self.mine)) } }
                    div { dt { (self.what) ", theirs" } dd { (said(self.theirs)) } }
                }
                form.presses method="post" action=(self.action) {
                    @for (name, value) in self.fields {
                        input type="hidden" name=(name) value=(value);
                    }
                    button.press.main name=(self.press.0) value=(self.press.1) { "Keep mine" }
                }
            })
    }
}
