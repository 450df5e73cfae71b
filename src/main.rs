//! The `turnto` command.

fn main() {}
