//! What went wrong, as a page with a way back.

use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use maud::{Markup, html};

use super::layout::{self, Frame};

/// What went wrong: a status for the browser, and words for her.
#[derive(Debug)]
pub(crate) struct Trouble {
    pub(crate) status: StatusCode,
    /// The headline: one sentence.
    pub(crate) title: String,
    /// What it means and what to do.
    pub(crate) says: String,
    /// A way back: address and words.
    pub(crate) back: (String, String),
    /// What else the page shows: both values of a change, for example.
    more: Option<Box<Markup>>,
    /// Somebody who has not come in sees no more of the workroom than this.
    bare: bool,
}

impl Trouble {
    /// Any trouble.
    pub(crate) fn new(
        status: StatusCode,
        title: impl Into<String>,
        says: impl Into<String>,
    ) -> Self {
        Self {
            status,
            title: title.into(),
            says: says.into(),
            back: ("/".to_owned(), "Back to today".to_owned()),
            more: None,
            bare: false,
        }
    }

    /// There is nothing at this address: `what` is "client", "order 14", ...
    pub(crate) fn missing(what: &str) -> Self {
        Self::new(
            StatusCode::NOT_FOUND,
            format!("There is no {what} here."),
            "It may have been put away or erased, or the address has a slip in it.",
        )
    }

    /// What she sent can't be used as it is; `says` tells what to do.
    pub(crate) fn unclear(says: impl Into<String>) -> Self {
        Self::new(
            StatusCode::BAD_REQUEST,
            "That could not be read as it stands.",
            says,
        )
    }

    /// Somebody else changed the same thing meanwhile.
    pub(crate) fn moved(says: impl Into<String>) -> Self {
        Self::new(
            StatusCode::CONFLICT,
            "Someone else changed this while you were typing.",
            says,
        )
    }

    /// Not allowed from here: a phone, another site.
    pub(crate) fn refused(says: impl Into<String>) -> Self {
        Self::new(StatusCode::FORBIDDEN, "That is not done from here.", says)
    }

    /// More than can be taken at once.
    pub(crate) fn too_large(limit: u64) -> Self {
        Self::new(
            StatusCode::PAYLOAD_TOO_LARGE,
            "That is too large to take in.",
            format!(
                "Here {} MB is the most. A photograph can be sent smaller, a method is only text.",
                limit / (1024 * 1024)
            ),
        )
    }

    /// It took too long and was given up.
    pub(crate) fn slow() -> Self {
        Self::new(
            StatusCode::SERVICE_UNAVAILABLE,
            "That took too long, and was given up.",
            "It may still come about: look at the page again in a minute, before you do it once more.",
        )
    }

    /// A fault of ours. It says nothing about how it came about.
    pub(crate) fn broken() -> Self {
        Self::new(
            StatusCode::INTERNAL_SERVER_ERROR,
            "Something went wrong inside Ellwand.",
            "It is not your fault, and what you had kept is still kept. Go back and try it again; \
             if it comes back, please tell those who make Ellwand what you did.",
        )
    }

    /// The words of a status that some layer answered without words of its own.
    pub(crate) fn of(status: StatusCode) -> Self {
        match status {
            StatusCode::NOT_FOUND => Self::new(
                status,
                "There is nothing at this address.",
                "It may have been put away, or the address has a slip in it.",
            ),
            StatusCode::METHOD_NOT_ALLOWED => Self::new(
                status,
                "This page can't be used in that way.",
                "Open it from the page before it.",
            ),
            StatusCode::PAYLOAD_TOO_LARGE => Self::too_large(super::limits::BODY),
            StatusCode::UNSUPPORTED_MEDIA_TYPE => Self::new(
                status,
                "That came in a form this page does not read.",
                "Send it with the page's own button.",
            ),
            s if s.is_client_error() => Self {
                status: s,
                ..Self::unclear("Something was missing or did not fit. Go back and look it over.")
            },
            s => Self {
                status: s,
                ..Self::broken()
            },
        }
    }

    /// With another way back.
    pub(crate) fn back(mut self, href: impl Into<String>, words: impl Into<String>) -> Self {
        self.back = (href.into(), words.into());
        self
    }

    /// With more on the page.
    pub(crate) fn with(mut self, more: Markup) -> Self {
        self.more = Some(Box::new(more));
        self
    }

    /// For somebody who has not come in: no links into the workroom.
    pub(crate) fn bare(mut self) -> Self {
        self.bare = true;
        self
    }
}

impl From<book::Trouble> for Trouble {
    fn from(trouble: book::Trouble) -> Self {
        use book::Trouble as T;
        let says = trouble.to_string();
        match trouble {
            T::Missing(what) => Self::missing(&what),
            T::Moved { .. } => Self::moved(says),
            T::Taken(_) | T::Closed => Self::new(
                StatusCode::CONFLICT,
                "That could not be kept as it stands.",
                says,
            ),
            T::ReadOnly | T::Full | T::NoFolder(_) | T::Busy(_) => Self::new(
                StatusCode::INSUFFICIENT_STORAGE,
                "That could not be kept just now.",
                says,
            ),
            T::Unswept(_) => Self::new(
                StatusCode::INSUFFICIENT_STORAGE,
                "It is erased, but traces of it may be left.",
                says,
            ),
            T::Damaged { .. } | T::Newer { .. } => Self::new(
                StatusCode::INTERNAL_SERVER_ERROR,
                "The records can't be read as they are.",
                says,
            ),
            // What the file said is for its makers; it could hold a name.
            _ => Self::broken(),
        }
    }
}

impl IntoResponse for Trouble {
    fn into_response(self) -> Response {
        let body = html! {
            div.alone {
                svg.stick viewBox="0 0 400 48" preserveAspectRatio="none" aria-hidden="true" focusable="false" {
                    path d="M2 24H150M20 24v-9M40 24v-6M60 24v-9M80 24v-6M100 24v-9M120 24v-6M140 24v-9" {}
                    path.gap d="M158 24H242" {}
                    path d="M250 24H398M260 24v-9M280 24v-6M300 24v-9M320 24v-6M340 24v-9M360 24v-6M380 24v-9" {}
                }
                h1 { (self.title) }
                p.lead { (self.says) }
                @if let Some(more) = &self.more { (more) }
                @if !self.bare {
                    p.presses { a.press href=(self.back.0) { (self.back.1) } }
                }
            }
        };
        let page = if self.bare {
            layout::bare(&self.title, &body)
        } else {
            layout::page(
                &Frame {
                    title: self.title,
                    ..Frame::default()
                },
                body,
            )
        };
        (self.status, page).into_response()
    }
}
