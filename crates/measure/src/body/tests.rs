//! The model against its published twin.
