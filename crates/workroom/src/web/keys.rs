//! Who may come in: the one-time token of the start-up address, the cookies it was traded for, and
//! how often somebody may try.

use std::sync::Mutex;
use std::time::{Duration, Instant};

use subtle::ConstantTimeEq as _;

use super::calm_lock;

/// So many browsers of this computer can be signed in at once; the oldest goes first.
const SESSIONS: usize = 64;
/// So many one-time tokens can be out at once.
const TOKENS: usize = 8;
/// So many wrong tries a minute, and then the door stays shut for a while.
const TRIES: u32 = 5;
const MINUTE: Duration = Duration::from_mins(1);
/// The longest that the door stays shut.
const LONGEST: Duration = Duration::from_hours(1);

/// A secret: 128 bits that nobody can guess, written in hexadecimal digits.
#[derive(Clone)]
pub(crate) struct Secret(String);

impl std::fmt::Debug for Secret {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Secret(…)")
    }
}

impl Secret {
    /// A new one.
    ///
    /// # Errors
    /// When the computer gives no random numbers; in a sentence.
    pub(crate) fn new() -> Result<Self, String> {
        let mut bytes = [0_u8; 16];
        getrandom::fill(&mut bytes).map_err(|e| {
            format!("This computer gives no random numbers just now ({e}). Try again in a minute.")
        })?;
        Ok(Self(bytes.iter().map(|b| format!("{b:02x}")).collect()))
    }

    /// Its digits.
    pub(crate) fn text(&self) -> &str {
        &self.0
    }

    /// Whether it is the same, in a time that does not tell how far they agree.
    pub(crate) fn is(&self, other: &str) -> bool {
        bool::from(self.0.as_bytes().ct_eq(other.as_bytes()))
    }
}

/// How often somebody tried in vain, and until when the door is shut.
#[derive(Debug, Default)]
pub(crate) struct Tries {
    since: Option<Instant>,
    wrong: u32,
    shut_until: Option<Instant>,
    times_shut: u32,
}

impl Tries {
    /// How long to wait before the next try, when there is one to wait for.
    pub(crate) fn wait(&self, now: Instant) -> Option<Duration> {
        self.shut_until
            .and_then(|until| until.checked_duration_since(now))
            .filter(|left| !left.is_zero())
    }

    /// One more wrong try: after five in a minute the door stays shut for a minute, then two, four, ...
    pub(crate) fn wrong(&mut self, now: Instant) {
        match self.since {
            Some(since) if now.duration_since(since) < MINUTE => self.wrong += 1,
            _ => {
                self.since = Some(now);
                self.wrong = 1;
            }
        }
        if self.wrong >= TRIES {
            let longer = 1_u32 << self.times_shut.min(6);
            self.shut_until = Some(now + (MINUTE * longer).min(LONGEST));
            self.times_shut += 1;
            self.wrong = 0;
            self.since = None;
        }
    }

    /// A right one: the counting begins anew.
    pub(crate) fn right(&mut self) {
        *self = Self::default();
    }
}

/// What came of a try to sign in.
#[derive(Debug)]
pub(crate) enum Tried {
    /// The token was right: this is the cookie for it.
    In(Secret),
    /// It was wrong, or already used.
    Wrong,
    /// Too many tries: wait so long.
    Wait(Duration),
}

/// The keys of the house.
#[derive(Debug, Default)]
pub(crate) struct Keys {
    tokens: Mutex<Vec<Secret>>,
    sessions: Mutex<Vec<Secret>>,
    tries: Mutex<Tries>,
}

impl Keys {
    /// A new one-time token for the start-up address.
    ///
    /// # Errors
    /// When the computer gives no random numbers.
    pub(crate) fn token(&self) -> Result<Secret, String> {
        let token = Secret::new()?;
        let mut tokens = calm_lock(&self.tokens);
        if tokens.len() >= TOKENS {
            tokens.remove(0);
        }
        tokens.push(token.clone());
        Ok(token)
    }

    /// Trades a token for the key of a session. A token is good once.
    ///
    /// # Errors
    /// When the computer gives no random numbers.
    pub(crate) fn trade(&self, token: &str, now: Instant) -> Result<Tried, String> {
        let mut tries = calm_lock(&self.tries);
        if let Some(wait) = tries.wait(now) {
            return Ok(Tried::Wait(wait));
        }
        let mut tokens = calm_lock(&self.tokens);
        // Every token is compared, so that the time tells nothing.
        let mut found = None;
        for (at, known) in tokens.iter().enumerate() {
            if known.is(token) {
                found = Some(at);
            }
        }
        let Some(at) = found else {
            tries.wrong(now);
            return Ok(Tried::Wrong);
        };
        tokens.remove(at);
        drop(tokens);
        tries.right();
        Ok(Tried::In(self.session()?))
    }

    /// A new session.
    ///
    /// # Errors
    /// When the computer gives no random numbers.
    pub(crate) fn session(&self) -> Result<Secret, String> {
        let key = Secret::new()?;
        let mut sessions = calm_lock(&self.sessions);
        if sessions.len() >= SESSIONS {
            sessions.remove(0);
        }
        sessions.push(key.clone());
        Ok(key)
    }

    /// Whether this is the key of a session.
    pub(crate) fn knows(&self, key: &str) -> bool {
        let sessions = calm_lock(&self.sessions);
        let mut known = false;
        for session in sessions.iter() {
            known |= session.is(key);
        }
        known
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_token_is_good_once() {
        let keys = Keys::default();
        let now = Instant::now();
        let token = keys.token().unwrap();
        let Tried::In(key) = keys.trade(token.text(), now).unwrap() else {
            panic!("the token was not taken");
        };
        assert!(keys.knows(key.text()));
        assert!(!keys.knows(token.text()));
        assert!(matches!(keys.trade(token.text(), now), Ok(Tried::Wrong)));
    }

    #[test]
    fn the_sixth_try_in_a_minute_waits_and_each_time_longer() {
        // Catches a door that can be tried without end, and one that opens again after a fixed time.
        let keys = Keys::default();
        let mut now = Instant::now();
        let mut last = Duration::ZERO;
        for _ in 0..8 {
            for _ in 0..5 {
                assert!(matches!(keys.trade("guess", now), Ok(Tried::Wrong)));
            }
            let token = keys.token().unwrap();
            let Ok(Tried::Wait(wait)) = keys.trade(token.text(), now) else {
                panic!("the sixth try was let in");
            };
            assert!(wait > last || wait == LONGEST, "{wait:?} after {last:?}");
            assert!(wait <= LONGEST);
            last = wait;
            now += wait;
        }
        // Afterwards the right token still opens, and the counting begins anew.
        let token = keys.token().unwrap();
        assert!(matches!(keys.trade(token.text(), now), Ok(Tried::In(_))));
        assert!(matches!(keys.trade("guess", now), Ok(Tried::Wrong)));
    }

    #[test]
    fn slow_wrong_tries_are_not_counted_together() {
        let mut tries = Tries::default();
        let mut now = Instant::now();
        for _ in 0..20 {
            tries.wrong(now);
            now += Duration::from_secs(16);
        }
        assert!(tries.wait(now).is_none());
    }

    #[test]
    fn secrets_differ_and_are_not_shown() {
        let (a, b) = (Secret::new().unwrap(), Secret::new().unwrap());
        assert_eq!(a.text().len(), 32);
        assert!(!a.is(b.text()));
        assert!(!format!("{a:?}").contains(a.text()));
    }
}
