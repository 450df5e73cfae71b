//! Tests of the library from outside, in one binary.

mod rest_vectors;
mod support;
mod verify;
