//! Values that occur in many places.

use std::fmt;
use std::marker::PhantomData;

use serde::de::{Deserializer, MapAccess, Visitor};
use serde::ser::Serializer;
use serde::{Deserialize, Serialize};

use crate::time::Minutes;

/// A length of time in decimal hours, to the fourth decimal.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Hours(f64);

impl From<Minutes> for Hours {
    fn from(length: Minutes) -> Self {
        Self::of_minutes(i64::from(length.get()))
    }
}

impl Hours {
    /// So many minutes, which may be more than a stretch of time has.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "hours are written to the fourth decimal, and nobody is late for that long")]
    pub fn of_minutes(minutes: i64) -> Self {
        Self((minutes as f64 / 60.0 * 10_000.0).round() / 10_000.0)
    }

    /// The number that is written.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }
}

/// Value of an aim: a count, or hours.
#[derive(Clone, Copy, PartialEq, Debug, Serialize, Deserialize)]
#[serde(untagged)]
pub enum Figure {
    /// A number of things.
    Count(i64),
    /// A length of time.
    Hours(Hours),
}

/// An object whose keys keep the order they are given in.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Ordered<T>(pub Vec<(String, T)>);

impl<T: Serialize> Serialize for Ordered<T> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(key, value)| (key, value)))
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Ordered<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Pairs<T>(PhantomData<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Pairs<T> {
            type Value = Ordered<T>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                let mut pairs = Vec::new();
                while let Some(pair) = map.next_entry()? {
                    pairs.push(pair);
                }
                Ok(Ordered(pairs))
            }
        }
        deserializer.deserialize_map(Pairs(PhantomData))
    }
}

/// Whether a value meets its bound.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Proof {
    /// It does: no plan does better.
    Proven,
    /// It does not, or there is no bound.
    Gap,
}

/// What ended the search early.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Cut {
    /// Nothing.
    None,
    /// The fixed amount of work without gain.
    Work,
    /// The time cap.
    Time,
    /// An interruption.
    Signal,
}
