//! Walks a JSON document and remembers the way there, so that every fault names its place.

use chrono::DateTime;
use serde_json::Value;

use super::PlanProblem;
use crate::clock::ShipClock;
use crate::time::{Moment, Span};

/// Everything found wrong so far.
#[derive(Default)]
pub(super) struct Faults(Vec<PlanProblem>);

impl Faults {
    /// The list, in the order found.
    pub(super) fn into_list(self) -> Vec<PlanProblem> {
        self.0
    }
}

/// A value with the path to it.
#[derive(Clone)]
pub(super) struct Node<'v> {
    value: &'v Value,
    path: String,
}

impl<'v> Node<'v> {
    /// The whole document.
    pub(super) const fn root(value: &'v Value) -> Self {
        Self { value, path: String::new() }
    }

    /// Says that something is wrong here.
    pub(super) fn fault(&self, faults: &mut Faults, what: String) {
        let path = if self.path.is_empty() { "document".to_owned() } else { self.path.clone() };
        faults.0.push(PlanProblem { path, what });
    }

    fn child(&self, value: &'v Value, key: &str) -> Self {
        let path = if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) };
        Self { value, path }
    }

    /// The value of a key that must be there.
    pub(super) fn field(&self, key: &str, faults: &mut Faults) -> Option<Self> {
        match self.value {
            Value::Object(map) => {
                let found = map.get(key).map(|value| self.child(value, key));
                if found.is_none() {
                    self.fault(faults, format!("the key `{key}` is missing"));
                }
                found
            }
            Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) | Value::Array(_) => {
                self.fault(faults, "this should be an object".to_owned());
                None
            }
        }
    }

    /// The value of a key that may be missing or null.
    pub(super) fn optional(&self, key: &str) -> Option<Self> {
        self.value.get(key).filter(|value| !value.is_null()).map(|value| self.child(value, key))
    }

    /// The members of a list.
    pub(super) fn items(&self, faults: &mut Faults) -> Vec<Self> {
        let Some(items) = self.value.as_array() else {
            self.fault(faults, "this should be a list".to_owned());
            return Vec::new();
        };
        items.iter().enumerate().map(|(i, value)| Self { value, path: format!("{}[{i}]", self.path) }).collect()
    }

    /// The members of the list under a key that must be there.
    pub(super) fn list(&self, key: &str, faults: &mut Faults) -> Vec<Self> {
        self.field(key, faults).map_or_else(Vec::new, |node| node.items(faults))
    }

    /// A text.
    pub(super) fn text(&self, faults: &mut Faults) -> Option<&'v str> {
        let text = self.value.as_str();
        if text.is_none() {
            self.fault(faults, "this should be a text".to_owned());
        }
        text
    }

    /// A whole number from 0.
    pub(super) fn whole(&self, faults: &mut Faults) -> Option<u32> {
        let number = self.value.as_u64().and_then(|n| u32::try_from(n).ok());
        if number.is_none() {
            self.fault(faults, "this should be a whole number".to_owned());
        }
        number
    }

    /// True or false.
    pub(super) fn truth(&self, faults: &mut Faults) -> Option<bool> {
        let truth = self.value.as_bool();
        if truth.is_none() {
            self.fault(faults, "this should be true or false".to_owned());
        }
        truth
    }

    /// An instant.
    pub(super) fn moment(&self, clock: &ShipClock, faults: &mut Faults) -> Option<Moment> {
        let text = self.text(faults)?;
        let Ok(stamp) = DateTime::parse_from_rfc3339(text) else {
            self.fault(faults, format!("`{text}` is not a time with offset, such as {}", clock.stamp(Moment::ORIGIN).to_rfc3339()));
            return None;
        };
        let seconds = stamp.signed_duration_since(clock.stamp(Moment::ORIGIN)).num_milliseconds();
        let minutes = (seconds % 60_000 == 0).then(|| i32::try_from(seconds / 60_000).ok()).flatten().map(Moment::new);
        let inside = minutes.filter(|m| (Moment::FAR_PAST..=Moment::FAR_FUTURE).contains(m));
        if inside.is_none() {
            self.fault(faults, format!("`{text}` is not a whole minute, or far outside the job"));
        }
        inside
    }

    /// The stretch from the key `from` to the key `to`.
    pub(super) fn span(&self, clock: &ShipClock, faults: &mut Faults) -> Option<Span> {
        let from = self.field("from", faults).and_then(|node| node.moment(clock, faults));
        let to = self.field("to", faults).and_then(|node| node.moment(clock, faults));
        let (from, to) = (from?, to?);
        let span = Span::new(from, to);
        if span.is_none() {
            self.fault(faults, "it ends before it begins, or at once".to_owned());
        }
        span
    }

    /// The thing a code stands for; `all` lists the codes there are.
    pub(super) fn code<'a, I>(&self, kind: &str, all: impl Iterator<Item = (I, &'a str)>, faults: &mut Faults) -> Option<I> {
        let text = self.text(faults)?;
        let mut codes = Vec::new();
        for (id, code) in all {
            if code == text {
                return Some(id);
            }
            codes.push(code);
        }
        // A long table is not listed: the folder is the place to look it up.
        let known = if codes.len() <= 30 { format!(" (there are: {})", codes.join(", ")) } else { String::new() };
        self.fault(faults, format!("the job has no {kind} `{text}`{known}"));
        None
    }
}
