//! What the workroom keeps: clients, cards, orders, methods and what became of them, in one SQLite file.
//!
//! A [`Book`] is one folder: `book.db` (with `-wal` and `-shm` beside it while it is open), `backups/`,
//! and the lock by which a second copy of the program finds the first. Only the owner of the computer's
//! account may read them. Each module adds one thing of the trade to `Book`; a call that changes
//! something is one transaction: when it has answered `Ok`, the change is on the disk.
//!
//! ```
//! use book::{About, Book, Change, NewOrder, Stamp};
//!
//! let mut book = Book::in_memory(Stamp::now)?;
//! let about = About { name: "Odile".to_owned(), ..About::default() };
//! let client = book.new_client(&about, false)?;
//! let order = book.new_order(&NewOrder { title: "Skirt".to_owned(), ..NewOrder::of(client) })?;
//! let knee = Change { key: "choice/knee".to_owned(), after: Some("2 3/4".to_owned()) };
//! let seen = book.order(order)?.seen;
//! book.change(order, Some(seen), "knee to 2 3/4", "here", &[knee])?;
//! assert_eq!(book.holds(order)?["choice/knee"], "2 3/4");
//! assert_eq!(book.take_back(order)?.as_deref(), Some("knee to 2 3/4"));
//! assert!(book.holds(order)?.is_empty());
//! # Ok::<(), book::Trouble>(())
//! ```
//!
//! Rows are plain structs and no model: lengths are kept as she typed them. Invariant: this is the only
//! crate that names SQLite, and it knows no geometry, no method language and no pages.

mod backup;
mod cards;
mod clients;
mod days;
mod devices;
mod erase;
mod export;
mod fittings;
mod folder;
mod holds;
mod id;
mod journal;
mod lays;
mod lock;
mod merge;
mod methods;
mod migrate;
mod money;
mod open;
mod orders;
mod papers;
mod party;
mod pictures;
mod prices;
mod quotes;
mod restore;
mod row;
mod search;
mod settings;
mod stamp;
mod trouble;
mod versions;
mod whole;

pub use backup::{Aside, Backup, BackupKind};
pub use cards::{Card, CardHead, NewReading, Reading, Readings, Said, Unit};
pub use clients::{About, Client, ClientChange, ClientLine, Photos};
pub use days::{Counts, Day, DayKind, DayLine, DayState, NewDay};
pub use devices::Device;
pub use erase::{Cleaned, Erased, Left};
pub use export::Export;
pub use fittings::{Counted, Fitting, Garment, NewFitting, NewPin, Pin, Side};
pub use holds::{Change, Changed};
pub use id::{CardNo, ClientNo, FittingNo, Id, OrderNo, QuoteNo, VersionNo};
pub use journal::Entry;
pub use lays::Lay;
pub use lock::Running;
pub use merge::To;
pub use methods::{Method, MethodText};
pub use money::{Actual, NewActual, NewPayment, Payment};
pub use open::Book;
pub use orders::{NewOrder, Order, OrderLine, Which};
pub use papers::{Paper, PaperLine};
pub use party::Party;
pub use pictures::{NewPicture, Of, Picture, PictureKind, PictureLine};
pub use prices::{NewPrice, Price, PriceKind};
pub use quotes::{NewQuote, Quote};
pub use restore::Restored;
pub use search::{Found, Where};
pub use stamp::Stamp;
pub use trouble::Trouble;
pub use versions::{NewVersion, Version, VersionLine, Why};

#[cfg(test)]
mod sample;
