//! Temporary.
use super::RuleSet;
use crate::time::{Minutes, Moment, Span};
/// Temporary.
#[derive(Clone, Debug)]
pub struct Line;
impl Line {
    /// Temporary.
    pub fn new(_: &RuleSet, _: &[Span], _: &[Span], _: &[Span]) -> Self { Self }
    /// Temporary.
    pub fn fits(&self, _: Span) -> bool { true }
    /// Temporary.
    pub fn insert(&mut self, _: Span) {}
    /// Temporary.
    pub fn mark(&self) -> usize { 0 }
    /// Temporary.
    pub fn undo(&mut self, _: usize) {}
    /// Temporary.
    pub fn call_fits(&self, _: Moment, _: Minutes, _: &[Span]) -> bool { true }
}
