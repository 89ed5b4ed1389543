//! `ellwand clients` and `ellwand orders`: who and what is in the book.

use std::fmt::Write as _;

use book::{ClientLine, OrderLine, Which};
use serde_json::{Value, json};

use super::records::Records;
use crate::answer::{Answer, calm};
use crate::args::Listed;
use crate::json as js;

pub(crate) fn clients(asked: &Listed) -> Result<Answer, Vec<String>> {
    let records = Records::to_read(&asked.at)?;
    let all = records.told(records.book.clients())?;
    if asked.json {
        let all: Vec<Value> = all.iter().map(client_value).collect();
        return Ok(Answer::says(js::text(
            &json!({"format": 1, "clients": all}),
        )));
    }
    let mut out = String::new();
    for line in &all {
        let about = &line.client.about;
        let _ = write!(out, "{:>6}  {}", line.client.number.0, calm(&about.name));
        if !about.code.is_empty() {
            let _ = write!(out, " ({})", calm(&about.code));
        }
        let _ = write!(out, ": {}", counted(line.cards, "card"));
        if let Some(last) = line.last_card {
            let _ = write!(out, ", the last of {last}");
        }
        let _ = write!(out, "; {}", counted(line.open_orders, "open order"));
        out.push_str(if line.client.demo { "; demo\n" } else { "\n" });
    }
    if all.is_empty() {
        out.push_str("There is no client in the book yet.\n");
    }
    Ok(Answer::says(out))
}

fn client_value(line: &ClientLine) -> Value {
    json!({
        "number": line.client.number.0,
        "name": line.client.about.name,
        "code": line.client.about.code,
        "cards": line.cards,
        "last_card": line.last_card.map(|d| d.to_string()),
        "open_orders": line.open_orders,
        "demo": line.client.demo,
    })
}

pub(crate) fn orders(asked: &Listed) -> Result<Answer, Vec<String>> {
    let records = Records::to_read(&asked.at)?;
    let all = records.told(records.book.orders(Which::All))?;
    if asked.json {
        let all: Vec<Value> = all.iter().map(order_value).collect();
        return Ok(Answer::says(js::text(&json!({"format": 1, "orders": all}))));
    }
    let mut out = String::new();
    for line in &all {
        let order = &line.order;
        let _ = write!(
            out,
            "{:>6}  {}, for {} (client {})",
            order.number.0,
            or(&order.title, "Without a name"),
            calm(&line.name),
            line.client
        );
        if !order.method.is_empty() {
            let _ = write!(out, ", by {}", calm(&order.method));
        }
        let _ = write!(out, "; of {}", order.made.day());
        if let Some(closed) = order.closed {
            let _ = write!(out, "; closed {}", closed.day());
        }
        out.push_str(if order.demo { "; demo\n" } else { "\n" });
    }
    if all.is_empty() {
        out.push_str("There is no order in the book yet.\n");
    } else {
        out.push_str("`ellwand order N --out DIR` makes the papers of one.\n");
    }
    Ok(Answer::says(out))
}

fn order_value(line: &OrderLine) -> Value {
    let order = &line.order;
    json!({
        "number": order.number.0,
        "title": order.title,
        "method": order.method,
        "client": line.client.0,
        "client_name": line.name,
        "made": order.made.to_string(),
        "closed": order.closed.map(|s| s.to_string()),
        "demo": order.demo,
    })
}

/// So many of a thing.
pub(super) fn counted(many: u32, what: &str) -> String {
    format!("{many} {what}{}", if many == 1 { "" } else { "s" })
}

fn or(text: &str, without: &str) -> String {
    calm(if text.trim().is_empty() {
        without
    } else {
        text
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test stops where it fails")]
    use book::{Book, Stamp};
    use clap::CommandFactory as _;

    use super::*;
    use crate::args::{Data, Line};

    /// Would catch a help that says otherwise than it is: whether the lists are there while the workroom
    /// has the records open.
    #[test]
    fn they_list_beside_the_open_workroom_as_their_help_says() {
        let folder = tempfile::tempdir().unwrap();
        let mut open = Book::open(folder.path(), Stamp::now).unwrap();
        let about = book::About {
            name: "Ada Lind".to_owned(),
            ..book::About::default()
        };
        open.new_client(&about, false).unwrap();
        let asked = Listed {
            json: false,
            at: Data {
                data: Some(folder.path().to_owned()),
            },
        };
        assert!(clients(&asked).unwrap().out.contains("Ada Lind"));
        assert_eq!(orders(&asked).unwrap().code, 0);
        for name in ["clients", "orders"] {
            let mut line = Line::command();
            let command = line.find_subcommand_mut(name).unwrap();
            let help = command.render_long_help().to_string();
            assert!(help.contains("Also while the workroom is open"), "{help}");
        }
    }
}
