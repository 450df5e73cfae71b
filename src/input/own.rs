//! A user's own sets of rest rules by themselves, for what needs no job.

use crate::diag::{Diagnostic, Sources, tidy};
use crate::input::row::Row;
use crate::input::sink::Sink;
use crate::input::{lower, raw, syntax};
use crate::rest::RuleSet;

/// What came of reading a `rules.toml`.
#[derive(Clone, Debug)]
pub struct OwnRules {
    /// The sets that hang together, by code.
    pub sets: Vec<RuleSet>,
    /// All that is wrong.
    pub diagnostics: Vec<Diagnostic>,
    /// The text diagnostics point into.
    pub sources: Sources,
}

/// Reads the text of a `rules.toml`.
#[must_use]
pub fn own_rules(text: &str) -> OwnRules {
    let sink = Sink::default();
    let mut sources = Sources::default();
    let file = sources.add("rules.toml", text);
    let sets = {
        let document = syntax::parse(file, &sources, &sink);
        let raw = raw::rules::read(Row::root(&document, &sink, "rules.toml"));
        lower::rules::sets(&raw, &sink)
    };
    let mut diagnostics = sink.into_found();
    tidy(&mut diagnostics);
    OwnRules { sets: sets.into_values().collect(), diagnostics, sources }
}
