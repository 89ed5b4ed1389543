//! Place held.
