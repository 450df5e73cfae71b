//! Integration tests, one binary.

mod lp_textbook;
