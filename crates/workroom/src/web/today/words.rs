//! What is said of a day: who comes, when, and what stands in the way.

use book::{DayKind, DayLine, OrderLine, OrderNo};
use measure::Date;

use super::{Standing, Way};
use crate::web::order::days;
use crate::web::parts::day;

/// The headline of the day, and what to press.
pub(super) struct Headline {
    pub(super) says: String,
    /// A sentence more, or nothing.
    pub(super) then: String,
    pub(super) go: String,
    pub(super) press: &'static str,
}

/// "half past ten", "eleven o’clock", "ten past two".
pub(super) fn clock(time: &str) -> Option<String> {
    const HOURS: [&str; 12] = [
        "twelve", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven",
    ];
    let (hour, minute) = time.split_once(':')?;
    let hour: usize = hour.parse().ok().filter(|h| *h < 24)?;
    let minute: usize = minute.get(..2)?.parse().ok().filter(|m| *m < 60)?;
    let name = |h: usize| HOURS.get(h % 12).copied().unwrap_or("twelve");
    let said = match minute {
        0 if hour == 12 => "noon".to_owned(),
        0 => format!("{} o’clock", name(hour)),
        15 => format!("a quarter past {}", name(hour)),
        30 => format!("half past {}", name(hour)),
        45 => format!("a quarter to {}", name(hour + 1)),
        _ => return Some(format!("{hour}.{minute:02}")),
    };
    Some(if hour >= 18 {
        format!("{said} in the evening")
    } else {
        said
    })
}

/// "tomorrow", "on Friday", "on Saturday 12 December".
pub(super) fn on(date: Date, today: Date) -> String {
    match date.day_number() - today.day_number() {
        0 => "today".into(),
        1 => "tomorrow".into(),
        n if (2..7).contains(&n) => format!("on {}", day::weekday(date)),
        _ if date.year() != today.year() => format!("on {} {}", day::named(date), date.year()),
        _ => format!("on {}", day::named(date)),
    }
}

/// What is made, or the order's number.
pub(super) fn title(title: &str, order: OrderNo) -> String {
    if title.trim().is_empty() {
        format!("Order {order}")
    } else {
        title.trim().to_owned()
    }
}

/// With a full stop.
pub(super) fn sentence(text: &str) -> String {
    if text.ends_with(['.', '!', '?']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}

/// "First fitting, 10.30".
pub(super) fn of(line: &DayLine) -> String {
    days::called(&line.day.day)
}

fn comes(line: &DayLine, when: &str) -> String {
    let name = &line.name;
    match line.day.day.kind {
        DayKind::Enquiry => format!("{name} comes {when} to ask for something"),
        DayKind::Measure => format!("{name} comes {when} to be measured"),
        DayKind::Toile => format!("{name} comes {when} for her toile"),
        DayKind::Fitting => format!("{name} comes {when}"),
        DayKind::Hem => format!("{name} comes {when} for the hem"),
        DayKind::Collection => format!("{name} fetches it {when}"),
        DayKind::Event => format!("{name} wears it {when}"),
        DayKind::Care => format!("{name} brings it back {when}"),
    }
}

/// The sentence of the day.
pub(super) fn headline(line: &DayLine, today: Date, standing: &Standing, way: Way) -> Headline {
    let order = line.order;
    let mut when = on(line.day.day.on, today);
    if let Some(clock) = clock(&line.day.day.time) {
        when = format!("{when} at {clock}");
    }
    let comes = comes(line, &when);
    let told = |way: &str, then: &str, go: &str, press: &'static str| Headline {
        says: format!("{comes}{way}."),
        then: then.to_owned(),
        go: format!("/orders/{order}{go}"),
        press,
    };
    match line.day.day.kind {
        DayKind::Enquiry | DayKind::Care => return told("", "", "", "Open her order"),
        DayKind::Measure if !standing.card => {
            return told("", "", "/card", "Open her card");
        }
        DayKind::Measure => return told("", "", "/card", "Open her card"),
        _ => {}
    }
    if !standing.card {
        return told(
            ", and she is not measured yet",
            "The order has no card. Measure her, or take one of her cards.",
            "/card",
            "To her card",
        );
    }
    if way.faulty && !standing.finished {
        return told(
            ", and her card is not finished",
            "The draft can’t be drawn before the measures it needs are there.",
            "/card",
            "Open her card",
        );
    }
    if way.faulty {
        return told(
            ", and her draft does not stand yet",
            "Its page says what is in the way.",
            "/draft",
            "Open her draft",
        );
    }
    if way.stops > 0 {
        let then = match (way.stops, standing.paper) {
            (1, true) => {
                "One thing in the draft says stop. Her paper was made with it or before it."
            }
            (1, false) => "One thing in the draft says stop. After that it is ready for paper.",
            (_, true) => "Her paper was made with them or before them: look before you cut.",
            (_, false) => "After them it is ready for paper.",
        };
        let way = match way.stops {
            1 if standing.paper => ", and something in the draft says stop".to_owned(),
            1 => ", and her paper is not made yet".to_owned(),
            n => format!(", and {} things in the draft say stop", count(n)),
        };
        return told(&way, then, "/draft", "Open her draft");
    }
    let asks = match way.asks {
        0 => "Nothing in the draft stands in its way.".to_owned(),
        1 => "The draft asks one thing, and nothing says stop.".to_owned(),
        n => format!("The draft asks {} things, and nothing says stop.", count(n)),
    };
    if !standing.finished {
        return told(
            ", and her card is not finished",
            &asks,
            "/card",
            "Open her card",
        );
    }
    if !standing.paper {
        return told(
            ", and her paper is not made yet",
            &asks,
            "/paper",
            "Make her paper",
        );
    }
    if standing.stale {
        return told(
            ", and her paper is older than her draft",
            "Something was changed after it was made. Make it anew before cloth is cut.",
            "/paper",
            "Make it anew",
        );
    }
    told(
        "",
        &format!("Her paper is made. {asks}"),
        "/draft",
        "Open her draft",
    )
}

/// Small numbers in words.
pub(super) fn count(n: usize) -> String {
    const WORDS: [&str; 13] = [
        "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
        "eleven", "twelve",
    ];
    WORDS
        .get(n)
        .map_or_else(|| n.to_string(), |w| (*w).to_owned())
}

/// The heading of what is overdue.
pub(super) fn late(many: usize) -> String {
    match many {
        1 => "One day is past and not done".into(),
        n => check::told::capital(&format!("{} days are past and not done", count(n))),
    }
}

/// The headline where nothing comes.
pub(super) fn nothing_comes(overdue: &[DayLine], loose: &[OrderLine]) -> String {
    match (overdue, loose.len()) {
        ([line, ..], _) => format!("Nothing comes, but {} is still waiting.", line.name),
        ([], 0) => "Nothing is on the table.".into(),
        ([], 1) => "One order is on the table, and no day is set.".into(),
        ([], n) => check::told::capital(&format!(
            "{} orders are on the table, and no day is set.",
            count(n)
        )),
    }
}

/// How an order stands, in a line.
pub(super) fn state(standing: &Standing, way: Option<Way>) -> String {
    let mut says = Vec::new();
    if !standing.card {
        says.push("Card: none yet".to_owned());
    } else if !standing.finished {
        says.push("Card: not finished".to_owned());
    }
    if let Some(old) = standing.old.as_ref().filter(|_| standing.card) {
        says.push(format!("Card: {old}"));
    }
    if let Some(way) = way.filter(|_| standing.card) {
        let asks = match way.asks {
            0 => String::new(),
            n => format!("{} to ask", count(n)),
        };
        let stops = match way.stops {
            0 => String::new(),
            1 => "one stop".to_owned(),
            n => format!("{} stops", count(n)),
        };
        says.push(match (way.faulty, stops.is_empty(), asks.is_empty()) {
            (true, _, _) => "Draft: can’t be drawn yet".to_owned(),
            (_, true, true) => "Draft: nothing in its way".to_owned(),
            (_, true, false) => format!("Draft: {asks}"),
            (_, false, true) => format!("Draft: {stops}"),
            (_, false, false) => format!("Draft: {stops}, {asks}"),
        });
    }
    if standing.card {
        says.push(match (standing.paper, standing.toile) {
            (true, _) if standing.stale => "Paper: made before the last change".to_owned(),
            (true, true) => "Paper: made, a toile first".to_owned(),
            (true, false) => "Paper: made".to_owned(),
            (false, true) => "Paper: not made yet, a toile first".to_owned(),
            (false, false) => "Paper: not made yet".to_owned(),
        });
    }
    says.join(". ")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use super::*;

    /// Would catch an hour that is said wrongly at the turn of the clock, and a time that is none.
    #[test]
    fn the_clock_is_said_as_one_says_it() {
        for (time, said) in [
            ("10:30", "half past ten"),
            ("11:00", "eleven o’clock"),
            ("12:00", "noon"),
            ("12:45", "a quarter to one"),
            ("23:45", "a quarter to twelve in the evening"),
            ("14:10", "14.10"),
            ("18:15", "a quarter past six in the evening"),
        ] {
            assert_eq!(clock(time).as_deref(), Some(said), "{time}");
        }
        for none in ["", "soon", "25:00", "10:7", "10:60"] {
            assert_eq!(clock(none), None, "{none}");
        }
    }

    /// Would catch an old card, or paper that is older than its draft, that passes for what is to be cut by.
    #[test]
    fn what_has_grown_old_is_told() {
        let mut standing = Standing {
            card: true,
            finished: true,
            paper: true,
            ..Standing::default()
        };
        assert_eq!(state(&standing, None), "Paper: made");
        standing.old = Some("two years old".to_owned());
        standing.stale = true;
        assert_eq!(
            state(&standing, None),
            "Card: two years old. Paper: made before the last change"
        );
    }

    /// Would catch "in 2 days" where a weekday is meant, and a day of another year without it.
    #[test]
    fn a_day_is_named_by_how_far_it_is() {
        let today = Date::read("2026-11-25").unwrap();
        for (date, said) in [
            ("2026-11-25", "today"),
            ("2026-11-26", "tomorrow"),
            ("2026-11-28", "on Saturday"),
            ("2026-12-02", "on Wednesday 2 December"),
            ("2027-01-02", "on Saturday 2 January 2027"),
        ] {
            assert_eq!(on(Date::read(date).unwrap(), today), said);
        }
    }
}
