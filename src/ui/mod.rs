//! What people see on a terminal besides the plan itself.

pub mod diagnostics;
