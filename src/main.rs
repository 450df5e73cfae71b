//! The `turnto` command: everything it does is in the library's `cli` module.

use std::process::ExitCode;

fn main() -> ExitCode {
    turnto::cli::main()
}
