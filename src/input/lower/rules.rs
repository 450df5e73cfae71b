//! Sets of rest rules: built in or a user's own, under the readings and exceptions of the job.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::diag::{Code, Diagnostic};
use crate::id::{IdVec, RuleSetId};
use crate::input::near::nearest;
use crate::input::raw::crew::{AGES, Person};
use crate::input::raw::rest::Rest;
use crate::input::raw::rules::OwnSet;
use crate::input::sink::Sink;
use crate::input::text::{At, Text};
use crate::input::times::Times;
use crate::rest::rule::{Kind, Rule};
use crate::rest::{Permit, Readings, RuleSet, RuleSetError, RuleSetParts};
use crate::time::Minutes;

/// The set for those under 18, where none is named.
const YOUNG: &str = "under-18";

/// Whether somebody is under 18 when the job starts.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(in crate::input) enum Age {
    /// 18 or over, or not said.
    Adult,
    /// Under 18.
    Young,
}

impl Age {
    /// By date of birth or age; who turns 18 during the job stays under 18 to its end. A date of birth that cannot be is said.
    pub(in crate::input) fn of(raw: &Person, times: &Times, sink: &Sink) -> Self {
        let years = raw.born.as_ref().filter(|_| times.known).and_then(|born| years(raw.code.as_str(), born, times, sink));
        let young = years.or_else(|| raw.age.as_ref().map(|age| age.value)).is_some_and(|years| years < 18);
        if young { Self::Young } else { Self::Adult }
    }
}

/// How old somebody born then is when the job starts; none, and that is said, where nobody of that age works aboard.
fn years(code: &str, born: &At<NaiveDate>, times: &Times, sink: &Sink) -> Option<i64> {
    let start = times.clock.date(times.clock.day(times.start));
    let years = start.years_since(born.value).map(i64::from);
    let message = match years {
        Some(years) if AGES.contains(&years) => return Some(years),
        Some(years) => format!("by `born` person {code} is {years} when the job starts"),
        None => format!("`born` of person {code} lies after the start of the job"),
    };
    let help = format!("write the date of birth of somebody from {} to {} years old", AGES.start(), AGES.end());
    sink.say(Code::OutOfRange, message, born.place, format!("the job starts {start}"), help);
    None
}

/// The sets that a job can name, and those it does.
pub(in crate::input) struct RuleBook<'a> {
    rest: &'a Rest,
    own: BTreeMap<String, RuleSet>,
    /// The codes of all own sets, those included of which something is wrong, which has been said.
    written: Vec<&'a str>,
    /// Whether the own sets may be incomplete, so that nothing is said about codes that are not there.
    unsure: bool,
    permit: Option<Permit>,
    sink: &'a Sink,
    /// Those in use.
    pub table: IdVec<RuleSetId, RuleSet>,
    usual: RuleSetId,
}

impl<'a> RuleBook<'a> {
    /// The sets of a job, its usual one first.
    pub(in crate::input) fn new(rest: &'a Rest, own: &'a [OwnSet], unsure: bool, sink: &'a Sink) -> Self {
        let permit = permit(rest, sink);
        let mut book = Self {
            rest,
            own: sets(own, sink),
            written: own.iter().map(|set| set.code.as_str()).collect(),
            unsure,
            permit,
            sink,
            table: IdVec::new(),
            usual: crate::id::Id::from_index(0),
        };
        book.usual = match &rest.rules {
            Some(code) => book.named(code).unwrap_or_else(|| book.put(&RuleSet::stcw_mlc_rest())),
            None => book.put(&RuleSet::stcw_mlc_rest()),
        };
        // Needed for nobody perhaps, it is still looked up, so that a slip in it is seen.
        if let Some(young) = rest.young.as_ref().filter(|young| book.find(young.as_str()).is_none()) {
            book.unknown(young);
        }
        book
    }

    /// The set for somebody: the one named for him; else that for his age.
    pub(in crate::input) fn of(&mut self, code: Option<&Text>, age: Age) -> RuleSetId {
        match (code, age) {
            (Some(code), Age::Adult) => self.named(code).unwrap_or(self.usual),
            (Some(code), Age::Young) => {
                if RuleSet::by_code(code.as_str()).is_some() && !code.as_str().starts_with(YOUNG) {
                    let message = format!("`{}` is no set for somebody under 18", code.as_str());
                    let help =
                        "leave `rest` out to have the one for those under 18, or name one of these; see that the flag state allows it";
                    self.sink.say(Code::AdultRules, message, code.place(), "", help);
                }
                self.named(code).unwrap_or(self.usual)
            }
            (None, Age::Adult) => self.usual,
            (None, Age::Young) => {
                let found = self.rest.young.as_ref().and_then(|young| self.find(young.as_str()));
                let set = found.or_else(|| RuleSet::by_code(YOUNG)).unwrap_or_else(RuleSet::stcw_mlc_rest);
                self.put(&set)
            }
        }
    }

    fn find(&self, code: &str) -> Option<RuleSet> {
        self.own.get(code).cloned().or_else(|| RuleSet::by_code(code))
    }

    /// The set of that code; `None` where there is none, which is said.
    fn named(&mut self, code: &Text) -> Option<RuleSetId> {
        if let Some(set) = self.find(code.as_str()) {
            return Some(self.put(&set));
        }
        self.unknown(code);
        None
    }

    fn unknown(&self, code: &Text) {
        if !self.unsure && !self.written.contains(&code.as_str()) {
            unknown(code, &self.written, "", self.sink);
        }
    }

    /// The place of a set in the table, under the readings and exceptions of the job; each stands in it once.
    fn put(&mut self, set: &RuleSet) -> RuleSetId {
        if let Some(known) = self.table.find(|known| known.code == set.code) {
            return known;
        }
        let mut set = set.clone();
        let readings = self.rest.readings.over(set.readings);
        if readings != set.readings {
            set = set.read_as(readings);
        }
        if let Some(least) = self.rest.readings.least_rest {
            let mut parts = set.clone().into_parts();
            parts.min_rest = least;
            set = RuleSet::new(parts).unwrap_or(set);
        }
        // Nobody under 18 is put under an exception.
        if let Some(permit) = self.permit.as_ref().filter(|_| !set.code.starts_with(YOUNG)) {
            set = set.with_exceptions(permit.clone(), readings.exception_gap);
        }
        self.table.push(set)
    }
}

fn unknown(code: &Text, own: &[&str], more: &str, sink: &Sink) {
    let message = format!("there is no set of rest rules `{}`{more}", code.as_str());
    let mut known: Vec<&str> = RuleSet::codes().collect();
    known.extend(own);
    let help = match nearest(code.as_str(), known.iter().copied()) {
        Some(near) => format!("write `{near}` if that is what is meant"),
        None => format!("the sets are {}", known.join(", ")),
    };
    sink.say(Code::UnknownRules, message, code.place(), "", help);
}

/// The exceptions, if flag and agreement are named.
fn permit(rest: &Rest, sink: &Sink) -> Option<Permit> {
    let written = rest.exceptions.as_ref()?;
    let named = |text: &Option<Text>| text.as_ref().map(|t| t.as_str().trim().to_owned()).filter(|t| !t.is_empty());
    let (flag, agreement) = (named(&written.flag), named(&written.agreement));
    if !written.seventy_hours && !written.three_periods {
        return None;
    }
    let (Some(flag), Some(agreement)) = (flag, agreement) else {
        let message = "exceptions without the flag state and the agreement that allow them";
        let help = "add flag = \"...\" and agreement = \"...\", or take [rest.exceptions] out";
        sink.say(Code::ExceptionsUnnamed, message, written.head, "", help);
        return None;
    };
    Some(Permit { flag, agreement, seventy_hours: written.seventy_hours, three_periods: written.three_periods })
}

/// The own sets that hang together, by code; what is wrong with the others is said.
pub(in crate::input) fn sets(own: &[OwnSet], sink: &Sink) -> BTreeMap<String, RuleSet> {
    let mut sets: BTreeMap<String, RuleSet> = BTreeMap::new();
    for (i, raw) in own.iter().enumerate() {
        let code = raw.code.as_str();
        if RuleSet::by_code(code).is_some() {
            let message = format!("`{code}` is a built-in set of rest rules");
            sink.say(Code::RulesAmiss, message, raw.code.place(), "", "give your own set another code");
            continue;
        }
        let mut rules = Vec::new();
        let mut min_rest = Minutes::hours(1);
        if let Some(like) = &raw.like {
            let Some(base) = sets.get(like.as_str()).cloned().or_else(|| RuleSet::by_code(like.as_str())) else {
                // What is wrong with a set before this one has been said.
                let before: Vec<&str> = own[..i].iter().map(|set| set.code.as_str()).collect();
                if !before.contains(&like.as_str()) {
                    unknown(like, &before, " before this one", sink);
                }
                continue;
            };
            let base = base.into_parts();
            (rules, min_rest) = (base.rules, base.min_rest);
        }
        replaced(raw, &rules, sink);
        rules.retain(|known: &Rule| raw.rules.iter().all(|rule| rule.code.as_str() != known.code));
        let source = |text: &Option<Text>| text.as_ref().map_or_else(String::new, |t| t.as_str().to_owned());
        let set_source = source(&raw.source);
        rules.extend(raw.rules.iter().map(|rule| Rule {
            code: rule.code.as_str().to_owned(),
            kind: rule.kind,
            source: rule.source.as_ref().map_or_else(|| set_source.clone(), |text| text.as_str().to_owned()),
        }));
        let parts = RuleSetParts {
            code: code.to_owned(),
            name: raw.name.as_ref().map_or(code, Text::as_str).to_owned(),
            source: set_source,
            min_rest: raw.least_rest.unwrap_or(min_rest),
            rules,
            readings: Readings::default(),
            own: true,
            permit: None,
        };
        match RuleSet::new(parts) {
            Ok(set) if !raw.broken => drop(sets.insert(code.to_owned(), set)),
            Ok(_) => {}
            Err(errors) => errors.iter().for_each(|error| amiss(raw, error, sink)),
        }
    }
    sets
}

/// Reports rules that take the place of one of the set theirs is like, unless they ask for the same thing and no less of it.
fn replaced(raw: &OwnSet, base: &[Rule], sink: &Sink) {
    for own in &raw.rules {
        let Some(old) = base.iter().find(|old| old.code == own.code.as_str()) else { continue };
        let simple = match (own.kind, old.kind) {
            (Kind::TotalRest(_), Kind::TotalRest(_)) | (Kind::LongestRest(_), Kind::LongestRest(_)) => true,
            (own, old) => matches!((own, old), (Kind::RestInterval(_), Kind::RestInterval(_))),
        };
        let same = own.kind.window() == old.kind.window() && own.kind.windows() == old.kind.windows();
        if simple && same && old.kind.limit().passes(own.kind.limit().required()) {
            continue;
        }
        let message = format!("`{}` no longer asks for \"{}\"", raw.code.as_str(), old.kind.text());
        let label = format!("takes the place of rule `{}` of `{}`", old.code, raw.like.as_ref().map_or("", Text::as_str));
        sink.say(Code::RuleReplaced, message, own.head, label, "give it another code if both are to count");
    }
}

/// Says what is wrong with a set, at the rule it is about.
fn amiss(raw: &OwnSet, error: &RuleSetError, sink: &Sink) {
    let (place, what) = match error {
        RuleSetError::Rule { rule, why, .. } => {
            let own = raw.rules.iter().find(|own| own.code.as_str() == rule);
            (own.map_or(raw.code.place(), |own| own.head), format!("rule `{rule}` of `{}` makes no sense: {why}", raw.code.as_str()))
        }
        RuleSetError::NoCode | RuleSetError::MinRest { .. } | RuleSetError::RuleCode { .. } => (raw.code.place(), error.to_string()),
    };
    sink.put(
        Diagnostic::new(Code::RulesAmiss, what)
            .at(place, "")
            .help("correct the numbers of the rule; `turnto rules CODE` shows how sets look"),
    );
}
