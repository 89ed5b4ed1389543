//! Two windows changed the same thing: both are shown, and she keeps one. Nothing is lost.

use maud::{Markup, html};

use crate::web::parts::apart::Apart;
use crate::web::trouble::Trouble;

/// Mine and theirs of one thing, with the form that keeps mine.
pub(crate) struct Both<'a> {
    /// What it is: "The notes".
    pub(crate) what: &'a str,
    pub(crate) mine: &'a str,
    pub(crate) theirs: &'a str,
    /// Where mine is sent again.
    pub(crate) action: String,
    /// What is sent with it.
    pub(crate) fields: &'a [(&'a str, &'a str)],
    /// The button's name and value.
    pub(crate) press: (&'a str, &'a str),
    /// Where theirs is looked at.
    pub(crate) back: String,
}

impl Both<'_> {
    pub(crate) fn trouble(&self) -> Trouble {
        let apart = Apart::of(self.mine, self.theirs);
        Trouble::moved("Here are both. Nothing is lost: keep the one you want.")
            .back(self.back.clone(), "Keep theirs, and go on")
            .with(html! {
                (both_ways(self.what, &apart))
                form.presses method="post" action=(self.action) {
                    @for (name, value) in self.fields {
                        input type="hidden" name=(name) value=(value);
                    }
                    button.press.main name=(self.press.0) value=(self.press.1) { "Keep mine" }
                }
            })
    }
}

/// Both texts of one thing, with what is apart in them.
pub(crate) fn both_ways(what: &str, apart: &Apart<'_>) -> Markup {
    html! {
        p.help { (apart.told()) }
        dl.bothways {
            div { dt { (what) ", yours" } dd { (apart.mine.html()) } }
            div { dt { (what) ", theirs" } dd { (apart.theirs.html()) } }
        }
    }
}
