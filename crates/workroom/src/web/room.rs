//! What all pages share: the book, the keys, the names the house answers to, and room to work in.

use std::collections::BTreeMap;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError, RwLock};
use std::time::Instant;

use axum::extract::Request;
use book::{Book, Running, Stamp};
use measure::date::Date;
use tokio::sync::Semaphore;

use super::house::House;
use super::keys::{Keys, Secret};
use super::records::Ill;
use super::settings::waiting::Waiting;
use super::trouble::Trouble;
use super::{calm_lock, limits, phones, visit};

/// Which door a request came in by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Door {
    /// From this computer.
    Here,
    /// From the house network.
    House,
}

impl Door {
    /// The door of a request; one that does not tell counts as the one with fewer rights.
    pub(crate) fn of(request: &Request) -> Self {
        request
            .extensions()
            .get::<Self>()
            .copied()
            .unwrap_or(Self::House)
    }
}

/// What all pages share.
#[derive(Debug)]
pub(crate) struct Room {
    pub(crate) keys: Keys,
    /// By this a second start asks for a way in.
    pub(crate) again: Secret,
    port: u16,
    pub(crate) house: House,
    /// A backup that was looked into and is not restored yet.
    pub(crate) waiting: Waiting,
    name: RwLock<String>,
    letters: RwLock<bool>,
    ill: RwLock<Option<Ill>>,
    papers: Arc<Semaphore>,
    book: Arc<Mutex<Book>>,
}

impl Room {
    /// A room at this port.
    ///
    /// # Errors
    /// When the computer gives no random numbers.
    pub(crate) fn new(port: u16, book: Book) -> Result<Self, String> {
        // Damaged records are shown all the same, with the program's own habits.
        let settings = book.settings().unwrap_or_default();
        let room = Self {
            keys: Keys::default(),
            again: Secret::new()?,
            port,
            house: House::default(),
            waiting: Waiting::default(),
            name: RwLock::new(String::new()),
            letters: RwLock::new(true),
            ill: RwLock::new(None),
            papers: Arc::new(Semaphore::new(limits::PAPERS)),
            book: Arc::new(Mutex::new(book)),
        };
        room.settle(&settings);
        Ok(room)
    }

    /// Takes over those settings that stand in every page's frame; to be called when one was changed.
    pub(crate) fn settle(&self, settings: &BTreeMap<String, String>) {
        let name = settings
            .get("name")
            .map(|n| n.trim())
            .filter(|n| !n.is_empty());
        name.unwrap_or("Your workroom")
            .clone_into(&mut self.name.write().unwrap_or_else(PoisonError::into_inner));
        *self.letters.write().unwrap_or_else(PoisonError::into_inner) =
            settings.get("letters").is_none_or(|l| l != "off");
    }

    /// The records are damaged.
    pub(crate) fn fell_ill(&self, ill: Ill) {
        *self.ill.write().unwrap_or_else(PoisonError::into_inner) = Some(ill);
    }

    /// What is the matter with the records, if anything is.
    pub(crate) fn ill(&self) -> Option<Ill> {
        let ill = self.ill.read().unwrap_or_else(PoisonError::into_inner);
        ill.clone()
    }

    /// Puts the last good backup in place of damaged records.
    ///
    /// # Errors
    /// When there is none, or it can't be put there; the damaged file is then as before.
    pub(crate) async fn mend(&self) -> Result<(), Trouble> {
        let Some(ill) = self.ill() else { return Ok(()) };
        let Some(backup) = ill.backup.clone() else {
            return Err(Trouble::missing("good backup"));
        };
        let running = self.running();
        let settings = self
            .book(move |book| {
                // The damaged file is let go of first.
                *book = Book::in_memory(Stamp::now)?;
                match Book::restore_over(&ill.folder, Stamp::now, &backup) {
                    Ok((mended, _)) => *book = mended,
                    Err(trouble) => {
                        if let Ok(as_before) = Book::open_to_read(&ill.folder, Stamp::now) {
                            *book = as_before;
                        }
                        return Err(trouble.into());
                    }
                }
                book.announce(&running)?;
                Ok(book.settings()?)
            })
            .await?;
        self.settle(&settings);
        *self.ill.write().unwrap_or_else(PoisonError::into_inner) = None;
        Ok(())
    }

    /// What a second start is told.
    pub(crate) fn running(&self) -> Running {
        Running {
            address: format!("http://127.0.0.1:{}", self.port),
            secret: self.again.text().to_owned(),
        }
    }

    /// The book itself, for the end of the program and for what is not a request.
    pub(crate) fn shelf(&self) -> Arc<Mutex<Book>> {
        Arc::clone(&self.book)
    }

    /// Works with the book, on a thread of its own. A panic leaves the book usable.
    ///
    /// # Errors
    /// What the work says, or that something broke inside.
    pub(crate) async fn book<T: Send + 'static>(
        &self,
        work: impl FnOnce(&mut Book) -> Result<T, Trouble> + Send + 'static,
    ) -> Result<T, Trouble> {
        let book = Arc::clone(&self.book);
        self.work(move || work(&mut calm_lock(&book))).await?
    }

    /// Works without the book, on a thread of its own with a deep stack.
    ///
    /// # Errors
    /// That something broke inside.
    pub(crate) async fn work<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, Trouble> {
        let visit = visit::now();
        tokio::task::spawn_blocking(move || visit::at_work(visit, work))
            .await
            .map_err(|_| Trouble::broken())
    }

    /// The same for large papers: at most two at once, the others wait their turn.
    ///
    /// # Errors
    /// That something broke inside.
    pub(crate) async fn paper<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, Trouble> {
        let turn = Arc::clone(&self.papers)
            .acquire_owned()
            .await
            .map_err(|_| Trouble::broken())?;
        self.work(move || {
            let _turn = turn;
            work()
        })
        .await
    }

    /// The day here, or the one that `ELLWAND_TODAY` names (for tests).
    #[expect(clippy::unused_self, reason = "pages ask the room for everything")]
    pub(crate) fn today(&self) -> Date {
        today()
    }

    /// The name of the workroom.
    pub(crate) fn name(&self) -> String {
        self.name
            .read()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }

    /// Whether single letters act as keys.
    pub(crate) fn letters(&self) -> bool {
        *self.letters.read().unwrap_or_else(PoisonError::into_inner)
    }

    /// The cookie's name. Cookies ignore ports, so the port stands in it.
    pub(crate) fn cookie_name(&self) -> String {
        format!("ellwand-door-{}", self.port)
    }

    /// The address of the door to the house.
    pub(crate) fn house_address(&self, at: IpAddr) -> String {
        format!("http://{}:{}", phones::host(at), self.port)
    }

    /// Whether a host, in small letters, is one of our own at that door.
    pub(crate) fn answers_to(&self, host: &str, door: Door) -> bool {
        let port = self.port;
        let with_port =
            |name: &str| host == format!("{name}:{port}") || (port == 80 && host == name);
        match door {
            Door::Here => ["127.0.0.1", "localhost", "[::1]"]
                .into_iter()
                .any(with_port),
            Door::House => self
                .house
                .standing(Instant::now())
                .is_some_and(|s| with_port(&phones::host(s.at))),
        }
    }
}

/// The day here, or the one that `ELLWAND_TODAY` names (for tests).
pub(crate) fn today() -> Date {
    let named = std::env::var("ELLWAND_TODAY").ok();
    named.as_deref().and_then(Date::read).unwrap_or_else(|| {
        let now = jiff::Zoned::now();
        let part = |n: i8| u8::try_from(n).unwrap_or(1);
        u16::try_from(now.year())
            .ok()
            .and_then(|year| Date::new(year, part(now.month()), part(now.day())))
            .or_else(|| Date::new(2000, 1, 1))
            .unwrap_or_else(|| unreachable!("the first of January is a day"))
    })
}
