//! Whole jobs through the built program, and checks of the house itself.
