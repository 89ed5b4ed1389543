//! The one program, `ellwand`.
fn main() {}
