//! One client as plain data, to be read without the program, and back again.

use std::collections::BTreeSet;

use rusqlite::types::{Value as Cell, ValueRef};
use rusqlite::{Connection, params_from_iter};
use serde_json::{Map, Value, json};

use crate::clients::client;
use crate::id::next_apart;
use crate::row::{all, one};
use crate::whole::readable;
use crate::{Book, ClientNo, Id, Stamp, Trouble, migrate};

/// All that is kept of one client.
#[derive(Clone, Debug, PartialEq)]
pub struct Export {
    /// Her lines, in her words: `client` with `cards`, `orders` and `pictures`, each with what belongs to
    /// it. A line with a file names it as `{ "file": "orders/14/version-3/pattern-a4.pdf" }`.
    pub told: Value,
    /// Her files by these names. A name is made of small letters, digits, points and strokes, in folders
    /// divided by `/`.
    pub files: Vec<(String, Vec<u8>)>,
}

/// A table whose rows belong to a row of another.
struct Branch {
    table: &'static str,
    /// What its rows are called together.
    called: &'static str,
    /// The column with the id of what they belong to.
    of: &'static str,
    by: &'static str,
    branches: &'static [Branch],
}

const fn leaf(
    table: &'static str,
    called: &'static str,
    of: &'static str,
    by: &'static str,
) -> Branch {
    Branch {
        table,
        called,
        of,
        by,
        branches: &[],
    }
}

const CARD: &[Branch] = &[
    leaf("reading", "readings", "card", "at"),
    leaf("answer", "answers", "card", "at"),
];
const VERSION: &[Branch] = &[leaf("paper", "papers", "version", "id")];
const FITTING: &[Branch] = &[leaf("pin", "pins", "fitting", "id")];
const ORDER: &[Branch] = &[
    leaf("holds", "holds", "order", "key"),
    leaf("journal", "journal", "order", "at"),
    Branch {
        table: "version",
        called: "versions",
        of: "order",
        by: "number",
        branches: VERSION,
    },
    Branch {
        table: "fitting",
        called: "fittings",
        of: "order",
        by: "number",
        branches: FITTING,
    },
    leaf("day", "days", "order", "id"),
    leaf("picture", "pictures", "order", "id"),
    leaf("lay", "lays", "order", "id"),
    leaf("quote", "quotes", "order", "number"),
    leaf("payment", "payments", "order", "id"),
    leaf("actual", "actuals", "order", "id"),
];
const CLIENT: &[Branch] = &[
    Branch {
        table: "card",
        called: "cards",
        of: "client",
        by: "number",
        branches: CARD,
    },
    Branch {
        table: "order",
        called: "orders",
        of: "client",
        by: "number",
        branches: ORDER,
    },
    leaf("picture", "pictures", "client", "id"),
    leaf("client_change", "changes", "client", "at"),
];

/// Numbers above this are not believed.
const MOST: u32 = 1_000_000;

const WHAT: &str = "All that Ellwand keeps of one client. Texts and lengths stand as they were typed; \
                    mm is derived from them. Stamps are UTC, money is in the smallest coin of its \
                    currency.";

/// Files as they are gathered, each under a name of its own.
#[derive(Default)]
struct Files {
    all: Vec<(String, Vec<u8>)>,
    taken: BTreeSet<String>,
}

impl Files {
    fn add(&mut self, stem: &str, ending: &str, bytes: &[u8]) -> String {
        let mut name = format!("{stem}.{ending}");
        let mut count = 2;
        while !self.taken.insert(name.clone()) {
            name = format!("{stem}-{count}.{ending}");
            count += 1;
        }
        self.all.push((name.clone(), bytes.to_vec()));
        name
    }
}

/// A file's name without anything that a folder could take amiss.
fn clean(name: &str) -> (String, String) {
    let plain = |text: &str| -> String {
        let letters = text.chars().take(60).map(|c| c.to_ascii_lowercase());
        let letters = letters.map(|c| if c.is_ascii_alphanumeric() { c } else { '-' });
        let text: String = letters.collect();
        if text.is_empty() {
            "file".to_owned()
        } else {
            text
        }
    };
    match name.rsplit_once('.') {
        Some((stem, ending)) => (plain(stem), plain(ending)),
        None => (plain(name), "dat".to_owned()),
    }
}

/// One row as an object. `place` is the folder for its file.
fn object(
    row: &rusqlite::Row<'_>,
    names: &[String],
    branch: &Branch,
    place: &str,
    files: &mut Files,
) -> rusqlite::Result<Map<String, Value>> {
    let mut map = Map::new();
    for name in names {
        let value = match row.get_ref(name.as_str())? {
            ValueRef::Null => Value::Null,
            ValueRef::Integer(n) => json!(n),
            // As text: not every reader of JSON gives back the last digit.
            ValueRef::Real(x) => json!(x.to_string()),
            ValueRef::Text(text) => json!(String::from_utf8_lossy(text)),
            ValueRef::Blob(bytes) => {
                let (stem, ending) = match branch.table {
                    "paper" => clean(&row.get::<_, String>("name")?),
                    "picture" => {
                        let png = row.get::<_, String>("kind")? == "image/png";
                        (
                            "picture".to_owned(),
                            if png { "png" } else { "jpg" }.to_owned(),
                        )
                    }
                    _ => (
                        format!("quote-{}", row.get::<_, u32>("number")?),
                        "pdf".to_owned(),
                    ),
                };
                json!({ "file": files.add(&format!("{place}{stem}"), &ending, bytes) })
            }
        };
        map.insert(name.clone(), value);
    }
    Ok(map)
}

/// The columns of a table that are written: neither the one by which a row belongs to another, nor a
/// place in the history of the whole book.
fn columns(db: &Connection, branch: &Branch) -> Result<Vec<String>, Trouble> {
    let sql = "SELECT name FROM pragma_table_info(?1) WHERE name <> ?2 AND name <> 'at'";
    all(db, sql, [branch.table, branch.of], &mut |row| row.get(0))
}

/// All rows that belong to `of`, with theirs.
fn gather(
    db: &Connection,
    branch: &Branch,
    of: &str,
    place: &str,
    files: &mut Files,
) -> Result<Value, Trouble> {
    let names = columns(db, branch)?;
    let sql = format!(
        "SELECT * FROM \"{}\" WHERE \"{}\" = ?1 ORDER BY \"{}\"",
        branch.table, branch.of, branch.by
    );
    let mut rows = all(db, &sql, [of], &mut |row| {
        object(row, &names, branch, place, files)
    })?;
    for row in &mut rows {
        let number = row.get("number").and_then(Value::as_u64).unwrap_or(0);
        let inner = match branch.table {
            "order" => format!("{place}orders/{number}/"),
            "version" => format!("{place}version-{number}/"),
            _ => place.to_owned(),
        };
        let id = row
            .get("id")
            .and_then(Value::as_str)
            .unwrap_or_default()
            .to_owned();
        for more in branch.branches {
            let value = gather(db, more, &id, &inner, files)?;
            row.insert(more.called.to_owned(), value);
        }
    }
    Ok(rows.into_iter().map(Value::Object).collect())
}

/// Something in what is taken in that we did not write.
fn odd(what: &str) -> Trouble {
    Trouble::Other(format!(
        "This is not the export of a client as Ellwand writes it ({what}), so nothing was taken in."
    ))
}

/// What is taken in, on its way into the tables.
struct TakeIn<'a> {
    db: &'a Connection,
    file: &'a mut dyn FnMut(&str) -> Option<Vec<u8>>,
    /// She was here before, and her numbers with her.
    was_here: bool,
    demo: bool,
}

impl TakeIn<'_> {
    fn cell(&mut self, table: &str, name: &str, value: &Value) -> Result<Cell, Trouble> {
        let real = table == "reading" && name == "mm";
        Ok(match value {
            Value::Null => Cell::Null,
            Value::Bool(yes) => Cell::Integer(i64::from(*yes)),
            Value::Number(n) if real => Cell::Real(n.as_f64().ok_or_else(|| odd("a number"))?),
            Value::Number(n) => Cell::Integer(n.as_i64().ok_or_else(|| odd("a number"))?),
            Value::String(text) if real => {
                let x: f64 = text.parse().map_err(|_| odd("a number"))?;
                if !x.is_finite() {
                    return Err(odd("a number"));
                }
                Cell::Real(x)
            }
            Value::String(text) => {
                if name == "id" && Id::read(text).is_none_or(|id| id.to_string() != *text) {
                    return Err(odd("an id"));
                }
                Cell::Text(text.clone())
            }
            Value::Object(map) => {
                let name = map
                    .get("file")
                    .and_then(Value::as_str)
                    .ok_or_else(|| odd("a file"))?;
                Cell::Blob((self.file)(name).ok_or_else(|| odd("a file is missing"))?)
            }
            Value::Array(_) => return Err(odd("a list in a line")),
        })
    }

    /// The number that a client or an order of hers gets here: its own, if that was hers here or was
    /// never given to anybody.
    fn number(&self, table: &str, told: Option<u32>) -> Result<u32, Trouble> {
        let kind = if self.demo {
            format!("demo {table}")
        } else {
            table.to_owned()
        };
        let next = one(
            self.db,
            "SELECT next FROM next_number WHERE kind = ?1",
            [&kind],
            |row| row.get(0),
        )?;
        let next: u32 = next.unwrap_or(if self.demo { 9001 } else { 1 });
        let sql = format!("SELECT EXISTS (SELECT 1 FROM \"{table}\" WHERE number = ?1)");
        if let Some(told) = told.filter(|n| (1..=MOST).contains(n)) {
            let taken: bool = self.db.query_row(&sql, [told], |row| row.get(0))?;
            if !taken && (self.was_here || told >= next) {
                self.go_on(&kind, told)?;
                return Ok(told);
            }
        }
        next_apart(self.db, table, table, self.demo)
    }

    /// Makes sure that a number is not given out again.
    fn go_on(&self, kind: &str, number: u32) -> Result<(), Trouble> {
        self.db.execute(
            "INSERT INTO next_number (kind, next) VALUES (?1, ?2 + 1)
             ON CONFLICT (kind) DO UPDATE SET next = max(next, excluded.next)",
            rusqlite::params![kind, number],
        )?;
        Ok(())
    }

    /// Puts in one row and what belongs to it; answers its number.
    fn row(&mut self, branch: &Branch, of: &str, told: &Value) -> Result<Option<u32>, Trouble> {
        let told = told.as_object().ok_or_else(|| odd(branch.called))?;
        let id = told.get("id").and_then(Value::as_str).unwrap_or_default();
        let mut names = Vec::new();
        let mut cells = Vec::new();
        let mut number = told
            .get("number")
            .and_then(Value::as_u64)
            .and_then(|n| u32::try_from(n).ok());
        if !branch.of.is_empty() {
            names.push(branch.of.to_owned());
            cells.push(Cell::Text(of.to_owned()));
        }
        for name in columns(self.db, branch)? {
            let Some(value) = told.get(&name) else {
                continue;
            };
            let cell = match (branch.table, name.as_str()) {
                ("client" | "order", "number") => {
                    let given = self.number(branch.table, number)?;
                    number = Some(given);
                    Cell::Integer(i64::from(given))
                }
                ("client" | "order", "demo") => Cell::Integer(i64::from(self.demo)),
                // Put in afterwards, when all orders are there.
                ("order", "after") => Cell::Null,
                (_, "number") => {
                    let given = number
                        .filter(|n| (1..=MOST).contains(n))
                        .ok_or_else(|| odd("a number"))?;
                    self.go_on(&format!("{}/{of}", branch.table), given)?;
                    Cell::Integer(i64::from(given))
                }
                (table, name) => self.cell(table, name, value)?,
            };
            names.push(name);
            cells.push(cell);
        }
        let columns: Vec<String> = names.iter().map(|n| format!("\"{n}\"")).collect();
        let marks = vec!["?"; names.len()];
        let sql = format!(
            "INSERT INTO \"{}\" ({}) VALUES ({})",
            branch.table,
            columns.join(", "),
            marks.join(", ")
        );
        self.db.execute(&sql, params_from_iter(cells))?;
        for more in branch.branches {
            for row in told
                .get(more.called)
                .and_then(Value::as_array)
                .into_iter()
                .flatten()
            {
                self.row(more, id, row)?;
            }
        }
        Ok(number)
    }
}

/// The client herself.
const HER: Branch = Branch {
    table: "client",
    called: "client",
    of: "",
    by: "number",
    branches: CLIENT,
};
/// A party that an order of hers belongs to.
const PARTY: Branch = leaf("party", "parties", "", "id");

impl Book {
    /// All that is kept of one client.
    ///
    /// # Errors
    /// [`Trouble::Missing`] if there is no such client.
    pub fn export_client(&self, number: ClientNo) -> Result<Export, Trouble> {
        let who = client(&self.db, number)?;
        let mut files = Files::default();
        let names = columns(&self.db, &HER)?;
        let her = self.one("SELECT * FROM client WHERE id = ?1", [who.id], |row| {
            object(row, &names, &HER, "", &mut files)
        })?;
        let mut her = her.unwrap_or_default();
        for branch in CLIENT {
            let value = gather(&self.db, branch, &who.id.to_string(), "", &mut files)?;
            her.insert(branch.called.to_owned(), value);
        }
        let parties = self.all(
            r#"SELECT * FROM party WHERE id IN (SELECT party FROM "order" WHERE client = ?1) ORDER BY id"#,
            [who.id],
            |row| {
                let name = |n: &str| row.get::<_, String>(n);
                Ok(json!({ "id": name("id")?, "name": name("name")?, "made": name("made")? }))
            },
        )?;
        let told = json!({
            "what": WHAT,
            "edition": migrate::edition(),
            "client": her,
            "parties": parties,
        });
        Ok(Export {
            told,
            files: files.all,
        })
    }

    /// Takes in a client as [`Book::export_client`] wrote her, all or nothing. She keeps her numbers if
    /// they were hers here before, or were never given to anybody; else she gets new ones. That she was
    /// erased here is forgotten. `file` gives the files by their names.
    ///
    /// # Errors
    /// [`Trouble::Taken`] if she is in the book already; [`Trouble::Newer`]; [`Trouble::Other`] if
    /// something is in it that we did not write.
    pub fn import_client(
        &mut self,
        told: &Value,
        file: &mut dyn FnMut(&str) -> Option<Vec<u8>>,
    ) -> Result<ClientNo, Trouble> {
        let edition = told
            .get("edition")
            .and_then(Value::as_u64)
            .ok_or_else(|| odd("its edition"))?;
        let edition = u32::try_from(edition).unwrap_or(u32::MAX);
        if edition > migrate::edition() {
            return Err(Trouble::Newer {
                file: edition,
                program: migrate::edition(),
            });
        }
        let her = told.get("client").ok_or_else(|| odd("no client"))?;
        let id = her
            .get("id")
            .and_then(Value::as_str)
            .and_then(Id::read)
            .ok_or_else(|| odd("an id"))?;
        let done = self.write(|db, _| {
            let sql = "SELECT number FROM client WHERE id = ?1";
            if let Some(number) = one(db, sql, [id], |row| row.get::<_, ClientNo>(0))? {
                return Err(Trouble::Taken(format!(
                    "the same client in the book, as client {number}"
                )));
            }
            let sql = "SELECT made FROM erased WHERE client = ?1";
            let was_here = one(db, sql, [id], |row| row.get::<_, Stamp>(0))?.is_some();
            db.execute("DELETE FROM erased WHERE client = ?1", [id])?;
            let demo = her.get("demo").and_then(Value::as_u64) == Some(1);
            let mut take_in = TakeIn {
                db,
                file,
                was_here,
                demo,
            };
            for party in told
                .get("parties")
                .and_then(Value::as_array)
                .into_iter()
                .flatten()
            {
                let id = party.get("id").and_then(Value::as_str).unwrap_or_default();
                let sql = "SELECT 1 FROM party WHERE id = ?1";
                if one(db, sql, [id], |_| Ok(()))?.is_none() {
                    take_in.row(&PARTY, "", party)?;
                }
            }
            let number = take_in.row(&HER, "", her)?.ok_or_else(|| odd("a number"))?;
            for order in her
                .get("orders")
                .and_then(Value::as_array)
                .into_iter()
                .flatten()
            {
                let text = |name: &str| order.get(name).and_then(Value::as_str);
                if let (Some(order), Some(after)) = (text("id"), text("after")) {
                    db.execute(
                        r#"UPDATE "order" SET after = ?2
                           WHERE id = ?1 AND EXISTS (SELECT 1 FROM "order" WHERE id = ?2)"#,
                        [order, after],
                    )?;
                }
            }
            readable(db)?;
            Ok(ClientNo(number))
        });
        done.map_err(|trouble| match trouble {
            Trouble::Other(said) if !said.starts_with("This is not") => {
                odd(said.trim_end_matches('.'))
            }
            other => other,
        })
    }
}

#[cfg(test)]
mod tests;
