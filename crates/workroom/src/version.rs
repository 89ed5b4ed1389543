//! The short hash that stands on every sheet of a pattern.
//!
//! It changes when the card, a text of the method or a choice changes, and with nothing else: not
//! with the day, the folder or the computer.

/// Gathers what a pattern was made from.
#[derive(Clone, Debug)]
pub(crate) struct Version(u64);

/// The digits and letters that are not mistaken for one another when read aloud off paper.
const LETTERS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

impl Version {
    pub(crate) const fn new() -> Self {
        // FNV-1a, 64 bits: offset basis and prime as published by Fowler, Noll and Vo.
        Self(0xcbf2_9ce4_8422_2325)
    }

    /// One thing more. Its end counts too, so that `ab`, `c` is not `a`, `bc`.
    pub(crate) fn with(&mut self, text: &str) {
        for byte in text.bytes().chain([0xff]) {
            self.0 = (self.0 ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }

    /// Eight letters in two groups: `7KQ2-9FXA`.
    pub(crate) fn short(&self) -> String {
        // The last bytes have hardly reached the upper bits yet; stirred once more, they have.
        let mut bits = self.0;
        bits = (bits ^ (bits >> 33)).wrapping_mul(0xff51_afd7_ed55_8ccd);
        bits ^= bits >> 33;
        let mut out = String::with_capacity(9);
        for i in 0..8 {
            if i == 4 {
                out.push('-');
            }
            let five = (bits >> (59 - 5 * i)) & 31;
            out.push(char::from(LETTERS[usize::try_from(five).unwrap_or(0)]));
        }
        out
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn where_one_part_ends_counts() {
        let of = |parts: &[&str]| {
            let mut v = Version::new();
            for p in parts {
                v.with(p);
            }
            v.short()
        };
        assert_ne!(of(&["ab", "c"]), of(&["a", "bc"]));
        assert_eq!(of(&["ab", "c"]), of(&["ab", "c"]));
        assert_eq!(of(&[]).len(), 9);
    }

    /// FNV-1a of the empty text and of `a`, as published with the hash (draft-eastlake-fnv, from memory).
    #[test]
    fn the_hash_is_the_published_one() {
        assert_eq!(Version::new().0, 0xcbf2_9ce4_8422_2325);
        let a = (Version::new().0 ^ u64::from(b'a')).wrapping_mul(0x0100_0000_01b3);
        assert_eq!(a, 0xaf63_dc4c_8601_ec8c);
    }
}
