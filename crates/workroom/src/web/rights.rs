//! What a phone of the house may do: one table. What is not in it is done at the computer.
//!
//! A phone measures, looks, chooses, logs fittings and adds photographs. It never exports, erases,
//! restores or sets anything.

use axum::http::Method;

/// What may be looked at. `*` is one part of an address, `**` any rest, also none.
const LOOK: &[&str] = &[
    "/",
    "/here",
    "/keys",
    "/search",
    "/a/**",
    "/favicon.ico",
    "/clients",
    "/clients/*",
    "/clients/*/cards/**",
    "/cards/blank",
    "/cards/echo",
    "/orders",
    "/orders/*",
    "/orders/*/card/**",
    "/orders/*/draft/**",
    "/orders/*/cloth",
    "/orders/*/paper",
    "/orders/*/fittings/**",
    "/orders/*/versions/*",
    "/methods",
    "/methods/*",
    "/pictures/*",
];

/// What may be changed.
const CHANGE: &[&str] = &[
    "/clients/*/cards/**",
    "/clients/*/pictures",
    "/orders/*/card/**",
    "/orders/*/draft/**",
    "/orders/*/fittings/**",
    "/orders/*/pictures",
];

/// Words that no address of a phone holds, whatever the tables say.
const NEVER: &[&str] = &[
    "erase", "export", "restore", "backup", "settings", "remove", "merge", "split", "away", "drop",
];

/// What of an order a phone may change, by its key: what the addresses above can write. So it takes back
/// no more than this either, whoever did it.
const HOLD: &[&str] = &["card", "choice/*", "correction/*"];

/// Whether a phone may ask this.
pub(crate) fn phone_may(method: &Method, path: &str) -> bool {
    let table = match *method {
        Method::GET | Method::HEAD => LOOK,
        Method::POST => CHANGE,
        _ => return false,
    };
    let plain = !path.contains('%') && !path.contains("//");
    plain
        && path.split('/').all(|part| !NEVER.contains(&part))
        && table.iter().any(|pattern| fits(pattern, path))
}

/// Whether a phone may change this of an order.
pub(crate) fn phone_may_hold(key: &str) -> bool {
    HOLD.iter().any(|known| match known.strip_suffix('*') {
        Some(front) => key.starts_with(front),
        None => key == *known,
    })
}

fn fits(pattern: &str, path: &str) -> bool {
    let mut parts = path.split('/');
    for want in pattern.split('/') {
        if want == "**" {
            return true;
        }
        match parts.next() {
            Some(part) if want == "*" && !part.is_empty() => {}
            Some(part) if want == part => {}
            _ => return false,
        }
    }
    parts.next().is_none()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_phone_measures_looks_chooses_and_logs_and_nothing_else() {
        for path in [
            "/",
            "/clients",
            "/clients/7",
            "/clients/7/cards/3",
            "/orders/14/draft",
            "/orders/14/draft/steps/3",
            "/methods/mermaid-two",
            "/a/0123/js/main.js",
        ] {
            assert!(phone_may(&Method::GET, path), "{path}");
        }
        for path in [
            "/settings",
            "/settings/phones",
            "/settings/backup",
            "/clients/7/export",
            "/clients/7/cards/3/erase",
            "/orders/14/paper/pattern-a4.pdf",
            "/orders/14/versions/2/pattern-a4.pdf",
            "/orders/14/quote",
            "/methods/mine/edit",
            "/clients//cards/3",
            "/%63lients",
            "/start",
            "",
        ] {
            assert!(!phone_may(&Method::GET, path), "{path}");
        }
        for path in [
            "/clients/7/cards/3",
            "/clients/7/cards/new",
            "/orders/14/draft",
            "/orders/14/fittings",
            "/orders/14/pictures",
        ] {
            assert!(phone_may(&Method::POST, path), "{path}");
        }
        for path in [
            "/",
            "/settings",
            "/settings/restore",
            "/settings/phones/pair",
            "/clients/7",
            "/clients/7/erase",
            "/clients/new",
            "/orders/14",
            "/orders/14/paper",
            "/methods/mine",
            "/orders/14/fittings/1/pins/019a/drop",
        ] {
            assert!(!phone_may(&Method::POST, path), "{path}");
        }
        assert!(!phone_may(&Method::DELETE, "/"));
        for key in ["card", "choice/knee", "correction/019a"] {
            assert!(phone_may_hold(key), "{key}");
        }
        for key in [
            "signed",
            "signed/for",
            "note",
            "cloth/shell",
            "method",
            "stage",
            "cards",
            "",
        ] {
            assert!(!phone_may_hold(key), "{key}");
        }
    }
}
