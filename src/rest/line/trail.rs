//! What insertions replaced, to take them back.

use crate::time::{Minutes, Span};

/// A state of a [`super::Line`] to come back to.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Mark(usize);

/// What every insertion replaced; grows to the deepest nesting and is then reused.
#[derive(Clone, Debug, Default)]
pub(super) struct Trail {
    pub(super) blocks: Replaced,
    pub(super) pieces: Replaced,
    clean: Vec<bool>,
    slack: Vec<Minutes>,
}

impl Trail {
    pub(super) fn mark(&self) -> Mark {
        Mark(self.clean.len())
    }

    pub(super) fn is_after(&self, mark: Mark) -> bool {
        self.clean.len() > mark.0
    }

    /// Forgets everything; the room stays.
    pub(super) fn clear(&mut self) {
        for replaced in [&mut self.blocks, &mut self.pieces] {
            replaced.steps.clear();
            replaced.old.clear();
        }
        self.clean.clear();
        self.slack.clear();
    }

    /// Keeps what an insertion is about to change besides the stretches.
    pub(super) fn begin(&mut self, clean: bool, slack: &[Minutes]) {
        self.clean.push(clean);
        self.slack.extend_from_slice(slack);
    }

    /// Puts back what [`Trail::begin`] kept last.
    pub(super) fn end(&mut self, clean: &mut bool, slack: &mut [Minutes]) {
        *clean = self.clean.pop().unwrap_or(*clean);
        let kept = self.slack.len().saturating_sub(slack.len());
        slack.copy_from_slice(&self.slack[kept..]);
        self.slack.truncate(kept);
    }
}

/// Stretches that were replaced in one list.
#[derive(Clone, Debug, Default)]
pub(super) struct Replaced {
    steps: Vec<Step>,
    old: Vec<Span>,
}

#[derive(Clone, Copy, Debug)]
struct Step {
    at: usize,
    count: usize,
}

impl Replaced {
    /// Replaces `first..end` of `spans` by `span`.
    pub(super) fn replace(&mut self, spans: &mut Vec<Span>, first: usize, end: usize, span: Span) {
        self.old.extend_from_slice(&spans[first..end]);
        self.steps.push(Step { at: first, count: end - first });
        if first == end {
            spans.insert(first, span);
        } else {
            spans[first] = span;
            spans.drain(first + 1..end);
        }
    }

    /// Takes back the last replacement, if there is one.
    pub(super) fn restore(&mut self, spans: &mut Vec<Span>) {
        let Some(step) = self.steps.pop() else { return };
        let kept = self.old.len() - step.count;
        spans.splice(step.at..=step.at, self.old[kept..].iter().copied());
        self.old.truncate(kept);
    }
}
