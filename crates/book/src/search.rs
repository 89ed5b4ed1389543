//! Looking for words in everything, whatever their capitals and accents.

use rusqlite::Row;
use unicode_normalization::UnicodeNormalization as _;
use unicode_normalization::char::is_combining_mark;

use crate::{Book, CardNo, ClientNo, FittingNo, OrderNo, Trouble};

/// Where something was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Where {
    /// A client.
    Client(ClientNo),
    /// A card of a client.
    Card(ClientNo, CardNo),
    /// An order: its title, method, notes, days, pictures.
    Order(OrderNo),
    /// A fitting of an order.
    Fitting(OrderNo, FittingNo),
    /// A method of hers.
    Method(String),
    /// The price book: a cloth or a notion.
    Price,
}

/// Something that was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// Where.
    pub place: Where,
    /// What it is called: the client's name, the order's title with her name.
    pub title: String,
    /// The line in which most of the words stand.
    pub line: String,
    /// Whether it is the demo's.
    pub demo: bool,
}

/// Texts to look in: where, its title, the demo's or not, all texts.
type Text = (Where, String, bool, String);

impl Book {
    /// Everything in which every word of `words` stands: clients, cards, orders with all that they hold
    /// and the marks of their versions, their days, pictures and payments, fittings with their pins,
    /// methods, the price book; hers before the demo's, and where the words stand together ("order 14")
    /// before where they stand apart. Capitals and accents make no difference. No words find nothing; at
    /// most 200 places are answered.
    ///
    /// # Errors
    /// When the file can't be read.
    pub fn find(&self, words: &str) -> Result<Vec<Found>, Trouble> {
        let wanted = Words::new(words);
        if wanted.0.is_empty() {
            return Ok(Vec::new());
        }
        let together = plain(&words.split_whitespace().collect::<Vec<_>>().join(" "));
        let mut found = Vec::new();
        for (place, title, demo, text) in self.texts()? {
            if wanted.all_in(&[&title, &text]) {
                // Of lines with as many words the first: `max_by_key` would take the last.
                let mut line = "";
                let mut most = 0;
                for l in text.lines() {
                    let here = wanted.how_many_in(l);
                    if here > most {
                        (line, most) = (l, here);
                    }
                }
                let apart = !whole_words(&title, &together) && !whole_words(&text, &together);
                let line = line.trim().to_owned();
                let one = Found {
                    place,
                    title,
                    line,
                    demo,
                };
                found.push((demo, apart, one));
            }
        }
        found.sort_by_key(|(demo, apart, _)| (*demo, *apart));
        found.truncate(200);
        Ok(found.into_iter().map(|(.., one)| one).collect())
    }

    fn texts(&self) -> Result<Vec<Text>, Trouble> {
        let mut all = Vec::new();
        let row_text = |row: &Row<'_>, place: Where| -> rusqlite::Result<Text> {
            Ok((place, row.get("title")?, row.get("demo")?, row.get("text")?))
        };
        all.extend(self.all(
            "SELECT number, name AS title, demo,
                    concat_ws(char(10), 'client ' || number, code, contact, figure, allergies, guardian, consent,
                              hand, notes) AS text
             FROM client ORDER BY number",
            [],
            |row| row_text(row, Where::Client(row.get("number")?)),
        )?);
        all.extend(self.all(
            "SELECT client.number AS of, card.number, client.name || ', card ' || card.number AS title, demo,
                    concat_ws(char(10), taken, taker, foundation, shoes, card.notes) AS text
             FROM card JOIN client ON client.id = card.client ORDER BY client.number, card.number",
            [],
            |row| row_text(row, Where::Card(row.get("of")?, row.get("number")?)),
        )?);
        all.extend(self.all(
            r#"SELECT o.number, client.name || ', ' || o.title AS title, o.demo,
                      concat_ws(char(10), 'order ' || o.number, o.method, party.name,
                        (SELECT group_concat(value, char(10)) FROM holds
                         WHERE holds."order" = o.id AND key NOT IN ('card', 'method', 'methods', 'signed/for')
                           AND key NOT LIKE 'lay/%' AND key NOT LIKE 'quote/%'),
                        (SELECT group_concat('version ' || number || ', ' || mark, char(10)) FROM version
                         WHERE version."order" = o.id),
                        (SELECT group_concat(words, char(10)) FROM payment WHERE payment."order" = o.id),
                        (SELECT group_concat(words, char(10)) FROM actual WHERE actual."order" = o.id),
                        (SELECT group_concat(words, char(10)) FROM day WHERE day."order" = o.id),
                        (SELECT group_concat(words, char(10)) FROM picture WHERE picture."order" = o.id)
                      ) AS text
               FROM "order" AS o JOIN client ON client.id = o.client
               LEFT JOIN party ON party.id = o.party ORDER BY o.number"#,
            [],
            |row| row_text(row, Where::Order(row.get("number")?)),
        )?);
        all.extend(self.all(
            r#"SELECT o.number AS of, fitting.number, o.demo,
                      client.name || ', ' || o.title || ', fitting ' || fitting.number AS title,
                      concat_ws(char(10), on_day, fitting.notes, signed,
                        (SELECT group_concat(words, char(10)) FROM pin WHERE pin.fitting = fitting.id)
                      ) AS text
               FROM fitting JOIN "order" AS o ON o.id = fitting."order"
               JOIN client ON client.id = o.client ORDER BY o.number, fitting.number"#,
            [],
            |row| row_text(row, Where::Fitting(row.get("of")?, row.get("number")?)),
        )?);
        // Of each thing the price that counts today, as in the price book; of one whose prices all begin
        // later, the last.
        all.extend(self.all(
            "SELECT name AS title, demo, concat_ws(char(10), page, supplier) AS text
             FROM price WHERE put_away IS NULL AND id =
                    (SELECT id FROM price AS p
                     WHERE p.kind = price.kind AND p.name = price.name AND p.demo = price.demo
                           AND p.put_away IS NULL
                     ORDER BY p.since <= ?1 DESC, p.since DESC, p.rowid DESC LIMIT 1)
             ORDER BY name, kind, demo",
            [self.now().day().to_string()],
            |row| row_text(row, Where::Price),
        )?);
        for method in self.methods(true)? {
            all.push((
                Where::Method(method.name.clone()),
                method.name,
                false,
                method.text,
            ));
        }
        Ok(all)
    }
}

/// The words that are looked for.
pub(crate) struct Words(Vec<String>);

impl Words {
    pub(crate) fn new(text: &str) -> Self {
        Self(text.split_whitespace().map(plain).collect())
    }

    /// Whether every word stands in at least one of the texts. No words stand everywhere.
    pub(crate) fn all_in(&self, texts: &[&str]) -> bool {
        let texts: Vec<String> = texts.iter().map(|t| plain(t)).collect();
        self.0
            .iter()
            .all(|word| texts.iter().any(|t| t.contains(word.as_str())))
    }

    /// How many of the words stand in the text.
    fn how_many_in(&self, text: &str) -> usize {
        let text = plain(text);
        let here = self.0.iter().filter(|word| text.contains(word.as_str()));
        here.count()
    }
}

/// Whether the words stand in the text together, and not as a part of longer ones: "order 1" is not in
/// "order 14".
fn whole_words(text: &str, together: &str) -> bool {
    let text = plain(text);
    let of_a_word = |c: char| c.is_alphanumeric();
    text.match_indices(together).any(|(at, found)| {
        let before = text[..at].chars().next_back();
        let after = text[at + found.len()..].chars().next();
        !before.is_some_and(of_a_word) && !after.is_some_and(of_a_word)
    })
}

/// A text in small letters without accents, of whatever script.
pub(crate) fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for letter in text.nfd().flat_map(char::to_lowercase) {
        match letter {
            // Letters with a stroke or of two letters, which are no letter and an accent.
            'đ' | 'ð' => out.push('d'),
            'ħ' => out.push('h'),
            'ı' => out.push('i'),
            'ł' => out.push('l'),
            'ø' => out.push('o'),
            'ŧ' => out.push('t'),
            'ß' => out.push_str("ss"),
            'æ' => out.push_str("ae"),
            'œ' => out.push_str("oe"),
            accent if is_combining_mark(accent) => {}
            other => out.push(other),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch a letter that is lost, or an accent that hides a name.
    #[test]
    fn accents_and_capitals_make_no_difference() {
        assert_eq!(
            plain("Łódź ÉCLAIR Straße cœur e\u{301}"),
            "lodz eclair strasse coeur e"
        );
        assert_eq!(plain("李 Ω"), "李 ω");
        // Two accents on one letter, a stroke, and other scripts.
        assert_eq!(plain("Ngọc-Ánh Đỗ, Ǿ"), "ngoc-anh do, o");
        assert_eq!(plain("Ёлка ΆΝΝΑ"), "елка αννα");
    }

    /// Would catch a price that no longer counts, or does not yet, found in place of the one that does;
    /// and the demo's thing found in place of hers of the same name.
    #[test]
    fn of_a_price_the_one_that_counts_is_looked_in() {
        use crate::{NewPrice, PriceKind, sample};
        let mut book = sample::book();
        let mut add = |supplier: &str, since: &str, demo: bool| {
            let price = NewPrice {
                kind: PriceKind::Cloth,
                name: "black crepe".to_owned(),
                page: String::new(),
                unit: "m".to_owned(),
                minor: 2800,
                currency: "EUR".to_owned(),
                supplier: supplier.to_owned(),
                since: sample::day(since),
                demo,
            };
            book.add_price(&price).unwrap();
        };
        add("Weber", "2026-09-01", false);
        add("Muster", "2026-08-01", true);
        add("Abel", "2026-01-01", false);
        add("Zander", "2027-03-01", false);
        let found = book.find("crepe").unwrap();
        let told: Vec<_> = found.iter().map(|f| f.demo).collect();
        assert_eq!(told, [false, true]);
        assert_eq!(places(&book, "weber"), [Where::Price]);
        assert_eq!(places(&book, "muster"), [Where::Price]);
        assert_eq!(places(&book, "abel"), [], "an older one");
        assert_eq!(places(&book, "zander"), [], "it begins later");
    }

    fn places(book: &Book, words: &str) -> Vec<Where> {
        let found = book.find(words).unwrap();
        found.into_iter().map(|f| f.place).collect()
    }

    /// Would catch a place that is not looked in, words that are found only together in one line, and
    /// signs of the question's own language.
    #[test]
    fn everything_is_looked_in() {
        use crate::{
            CardHead, DayKind, Garment, NewDay, NewFitting, NewOrder, NewVersion, Why, sample,
        };
        let mut book = sample::book();
        let (client, order) = sample::order(&mut book);
        let head = CardHead {
            shoes: "ivory pumps".to_owned(),
            ..sample::head()
        };
        book.new_card(client, &head).unwrap();
        book.hold(
            order,
            "note",
            "here",
            "note",
            Some("Duchesse satin\nwith a Bateau neck"),
        )
        .unwrap();
        let on = sample::day("2026-12-01");
        let day = NewDay {
            kind: DayKind::Hem,
            on,
            time: String::new(),
            words: "bring pumps".to_owned(),
        };
        book.add_day(order, &day).unwrap();
        let fitting = NewFitting {
            on,
            garment: Garment::Toile,
            notes: "gapes at the nape".to_owned(),
            signed: String::new(),
            version: None,
        };
        book.new_fitting(order, &fitting).unwrap();
        book.new_method("hers", "own", "square down from the nape")
            .unwrap();
        assert_eq!(places(&book, "odile bateau"), [Where::Order(order)]);
        assert_eq!(
            places(&book, "PUMPS"),
            [Where::Card(client, CardNo(1)), Where::Order(order)]
        );
        assert_eq!(
            places(&book, "nape"),
            [
                Where::Fitting(order, FittingNo(1)),
                Where::Method("hers".to_owned())
            ]
        );
        assert_eq!(places(&book, "marchetti").len(), 4);
        assert_eq!(book.find("bateau").unwrap()[0].line, "with a Bateau neck");
        // By its number alone, and by the mark that stands on every sheet.
        let mut next = NewOrder::of(client);
        next.title = "Overskirt".to_owned();
        for _ in 0..9 {
            book.new_order(&next).unwrap();
        }
        assert_eq!(places(&book, "order 1")[0], Where::Order(order));
        assert_eq!(places(&book, "ORDER 10")[0], Where::Order(OrderNo(10)));
        let version = NewVersion {
            mark: "STBF-Q8NS".to_owned(),
            why: Why::Paper,
            holds: book.holds(order).unwrap(),
            card: String::new(),
            report: String::new(),
            stopped: String::new(),
        };
        book.keep_version(order, &version).unwrap();
        assert_eq!(places(&book, "stbf-q8ns"), [Where::Order(order)]);
        assert_eq!(book.find("stbf").unwrap()[0].line, "version 1, STBF-Q8NS");
        book.hold(order, "signed", "here", "signed", Some("Odile herself"))
            .unwrap();
        assert_eq!(places(&book, "herself"), [Where::Order(order)]);
        for nothing in ["%", "_", "' OR 1=1 --", "\"", "  "] {
            assert_eq!(places(&book, nothing), [], "{nothing}");
        }
    }
}
