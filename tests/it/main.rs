//! Tests of the library from outside, in one binary.

mod output;
mod rest_vectors;
