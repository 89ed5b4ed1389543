//! The door to the house network: shut until she opens it, shut again by itself after some hours.

use std::net::{IpAddr, Ipv4Addr, UdpSocket};
use std::sync::{Mutex, OnceLock, PoisonError, RwLock};
use std::time::{Duration, Instant};

use sha2::{Digest as _, Sha256};
use tokio::sync::{mpsc, oneshot};

use super::calm_lock;
use super::keys::{Secret, Tried, Tries};

/// So long the door stays open.
pub(crate) const HOURS: Duration = Duration::from_hours(4);
/// So long a pairing token is good.
pub(crate) const PAIRING: Duration = Duration::from_mins(2);

/// What the pages ask of the server.
#[derive(Debug)]
pub(crate) enum Call {
    /// Open the door at this address, and say whether it went.
    Open(IpAddr, oneshot::Sender<Result<(), String>>),
    /// Shut it.
    Shut,
}

/// The open door.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Standing {
    pub(crate) at: IpAddr,
    pub(crate) until: Instant,
}

/// The door to the house network.
#[derive(Debug, Default)]
pub(crate) struct House {
    open: RwLock<Option<Standing>>,
    pairing: Mutex<Option<(Secret, Instant)>>,
    tries: Mutex<Tries>,
    bell: OnceLock<mpsc::Sender<Call>>,
}

impl House {
    /// The door, if it stands open now.
    pub(crate) fn standing(&self, now: Instant) -> Option<Standing> {
        let open = self.open.read().unwrap_or_else(PoisonError::into_inner);
        open.filter(|o| now < o.until)
    }

    /// The door was opened.
    pub(crate) fn opened(&self, at: IpAddr, now: Instant) {
        *self.open.write().unwrap_or_else(PoisonError::into_inner) = Some(Standing {
            at,
            until: now + HOURS,
        });
    }

    /// The door was shut. Whoever was about to be paired is not.
    pub(crate) fn shut(&self) {
        *self.open.write().unwrap_or_else(PoisonError::into_inner) = None;
        *calm_lock(&self.pairing) = None;
    }

    /// Whoever opens and shuts doors.
    pub(crate) fn hang_bell(&self, bell: mpsc::Sender<Call>) {
        let _ = self.bell.set(bell);
    }

    /// Opens the door.
    ///
    /// # Errors
    /// When it does not go; in a sentence.
    pub(crate) async fn open(&self, at: IpAddr) -> Result<(), String> {
        let no = || "The door to the house could not be opened.".to_owned();
        let bell = self.bell.get().ok_or_else(no)?;
        let (say, said) = oneshot::channel();
        bell.send(Call::Open(at, say)).await.map_err(|_| no())?;
        said.await.map_err(|_| no())?
    }

    /// Shuts it.
    pub(crate) async fn ask_to_shut(&self) {
        self.shut();
        if let Some(bell) = self.bell.get() {
            let _ = bell.send(Call::Shut).await;
        }
    }

    /// A new pairing token; the one before is good no longer.
    ///
    /// # Errors
    /// When the computer gives no random numbers.
    pub(crate) fn new_pairing(&self, now: Instant) -> Result<(), String> {
        *calm_lock(&self.pairing) = Some((Secret::new()?, now + PAIRING));
        Ok(())
    }

    /// The token that is shown now, and for how long still.
    pub(crate) fn pairing(&self, now: Instant) -> Option<(Secret, Duration)> {
        let pairing = calm_lock(&self.pairing);
        let (token, until) = pairing.as_ref()?;
        let left = until.checked_duration_since(now)?;
        (!left.is_zero()).then(|| (token.clone(), left))
    }

    /// Spends a pairing token: it is good once, for two minutes, and after five wrong tries the door
    /// stays shut for a while.
    ///
    /// # Errors
    /// When the computer gives no random numbers.
    pub(crate) fn pair(&self, told: &str, now: Instant) -> Result<Tried, String> {
        let mut tries = calm_lock(&self.tries);
        if let Some(wait) = tries.wait(now) {
            return Ok(Tried::Wait(wait));
        }
        let mut pairing = calm_lock(&self.pairing);
        let fits = pairing
            .as_ref()
            .is_some_and(|(token, until)| now < *until && token.is(told));
        if !fits {
            tries.wrong(now);
            return Ok(Tried::Wrong);
        }
        *pairing = None;
        tries.right();
        Ok(Tried::In(Secret::new()?))
    }
}

/// What is kept of a phone's key: its SHA-256, from which nobody gets the key back.
pub(crate) fn hashed(key: &str) -> String {
    let hash = Sha256::digest(key.as_bytes());
    hash.iter().map(|b| format!("{b:02x}")).collect()
}

/// Whether the door may be opened at this address: one of the house, never one that the whole world reaches.
pub(crate) fn is_of_the_house(at: IpAddr) -> bool {
    match at {
        IpAddr::V4(v4) => {
            (v4.is_private() || v4.is_link_local() || v4.is_loopback()) && v4 != Ipv4Addr::LOCALHOST
        }
        IpAddr::V6(v6) => v6.is_unique_local(),
    }
}

/// This computer's address in the house. Nothing is sent to find it: the system only says which
/// address it would send from (192.0.2.1 is kept for examples by RFC 5737).
pub(crate) fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect((Ipv4Addr::new(192, 0, 2, 1), 9)).ok()?;
    let at = socket.local_addr().ok()?.ip();
    is_of_the_house(at).then_some(at)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pairing_token_is_good_once_and_two_minutes() {
        let house = House::default();
        let now = Instant::now();
        house.new_pairing(now).unwrap();
        let (token, left) = house.pairing(now).unwrap();
        assert_eq!(left, PAIRING);
        assert!(matches!(house.pair("guess", now), Ok(Tried::Wrong)));
        assert!(matches!(house.pair(token.text(), now), Ok(Tried::In(_))));
        assert!(matches!(house.pair(token.text(), now), Ok(Tried::Wrong)));
        // Expired.
        house.new_pairing(now).unwrap();
        let (token, _) = house.pairing(now).unwrap();
        let late = now + PAIRING;
        assert!(house.pairing(late).is_none());
        assert!(matches!(house.pair(token.text(), late), Ok(Tried::Wrong)));
        // A newer one puts an older one out of use.
        house.new_pairing(late).unwrap();
        let (older, _) = house.pairing(late).unwrap();
        house.new_pairing(late).unwrap();
        assert!(matches!(house.pair(older.text(), late), Ok(Tried::Wrong)));
    }

    #[test]
    fn the_sixth_try_to_pair_waits() {
        let house = House::default();
        let now = Instant::now();
        house.new_pairing(now).unwrap();
        for _ in 0..5 {
            assert!(matches!(house.pair("guess", now), Ok(Tried::Wrong)));
        }
        let (token, _) = house.pairing(now).unwrap();
        assert!(matches!(house.pair(token.text(), now), Ok(Tried::Wait(_))));
    }

    #[test]
    fn the_door_shuts_by_itself() {
        let house = House::default();
        let now = Instant::now();
        assert!(house.standing(now).is_none());
        house.opened(IpAddr::from([192, 168, 1, 20]), now);
        assert!(house.standing(now).is_some());
        assert!(house.standing(now + HOURS).is_none());
        house.shut();
        assert!(house.standing(now).is_none());
    }

    #[test]
    fn only_addresses_of_a_house_are_opened() {
        for (at, may) in [
            ("192.168.1.20", true),
            ("10.0.0.5", true),
            ("172.20.1.1", true),
            ("127.0.0.2", true),
            ("fd00::1", true),
            ("127.0.0.1", false),
            ("0.0.0.0", false),
            ("8.8.8.8", false),
            ("172.32.0.1", false),
            ("2001:db8::1", false),
            ("::", false),
        ] {
            assert_eq!(is_of_the_house(at.parse().unwrap()), may, "{at}");
        }
    }
}
