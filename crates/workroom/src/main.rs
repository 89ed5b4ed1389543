//! The one program, `ellwand`.

use std::process::ExitCode;

fn main() -> ExitCode {
    workroom::ellwand()
}
