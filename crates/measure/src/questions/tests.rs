//! Questions: slips found, clean bodies left alone.
