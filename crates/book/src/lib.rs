//! What the workroom keeps.
