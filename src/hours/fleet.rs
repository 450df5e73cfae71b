//! Records of many ships, one after the other, in the memory of one person's record.

use std::collections::BTreeSet;

use crate::clock::ShipClock;
use crate::hours::excuse::excused;
use crate::input::{StreamRow, stream_day_one};
use crate::model::RecordKind;
use crate::rest::{ClosedRules, Emergencies, Finding, OnCall, RuleSet, Sweep, Timeline, findings};
use crate::time::{Minutes, Moment, Span};

/// Most rows of one person: at half an hour each more than a year of them.
const MOST_ROWS: usize = 20_000;

/// What the records of one ship come to.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct ShipHours {
    /// Name of the ship.
    pub ship: String,
    /// How many people.
    pub people: usize,
    /// Rows that were read.
    pub rows: usize,
    /// Rows that share time with an earlier one of the same person; their time counts once.
    pub overlapping: usize,
    /// From the first recorded minute to the last.
    pub span: Option<Span>,
    /// Days of all people together, each from his first recorded minute to his last, in minutes.
    pub person_minutes: i64,
    /// For each rule of the set, what breaks it.
    pub rules: Vec<RuleHours>,
    /// People with a finding.
    pub people_found: usize,
    /// Times that a person, or the whole ship, came back after others.
    pub came_back: usize,
}

/// What breaks one rule aboard one ship.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct RuleHours {
    /// Windows that break it.
    pub windows: usize,
    /// The same, with windows of one person that share time counted once.
    pub occasions: usize,
    /// Windows that break it only because of an emergency with its reason on record.
    pub excused: usize,
    /// People who broke it.
    pub people: usize,
    /// The worst window and whose it is; of equally bad ones the first.
    pub worst: Option<(String, Finding)>,
}

/// Why a row that can be read is not used.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Refused {
    /// The person's other rows give offsets from UTC and this one does not, or the other way round.
    Offset,
    /// One person has more rows than can be.
    TooMany,
}

/// Who came back after rows of others.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum CameBack {
    /// A ship, after other ships.
    Ship,
    /// A person, after others of the ship.
    Person,
}

/// Records being checked as they come.
///
/// Rows of one ship come together, and of one ship those of one person; in what order of time does not matter.
/// Kept are the rows of one person, the names of one ship's people, and the names of ships.
pub struct Fleet {
    set: RuleSet,
    sweep: Option<Sweep>,
    ships: Vec<ShipHours>,
    ships_seen: BTreeSet<String>,
    people_seen: BTreeSet<String>,
    person: String,
    offset: Option<Minutes>,
    work: Vec<Span>,
    calm: Vec<Span>,
    emergencies: Vec<Span>,
}

impl Fleet {
    /// Nothing read yet; records are checked by `set`.
    ///
    /// # Panics
    /// Never: the past is before the origin.
    #[must_use]
    pub fn new(set: &RuleSet) -> Self {
        let scope = Span::new(Moment::FAR_PAST, Moment::ORIGIN).expect("the past is before the origin");
        let sweep = ClosedRules::new(set).ok().map(|rules| Sweep::new(&rules, &clock(None), scope));
        Self {
            set: set.clone(),
            sweep,
            ships: Vec::new(),
            ships_seen: BTreeSet::new(),
            people_seen: BTreeSet::new(),
            person: String::new(),
            offset: None,
            work: Vec::new(),
            calm: Vec::new(),
            emergencies: Vec::new(),
        }
    }

    /// Takes a row. Who comes back after others is told, and is then checked as somebody new: what lies across the
    /// two parts of the record is not seen.
    ///
    /// # Errors
    /// The row cannot be used.
    pub fn push(&mut self, row: &StreamRow<'_>) -> Result<Option<CameBack>, Refused> {
        let mut back = None;
        if self.ships.last().is_none_or(|ship| ship.ship != row.ship) {
            self.end_person();
            self.people_seen.clear();
            let known = !self.ships_seen.insert(row.ship.clone().into_owned());
            let other = known.then(|| self.ships.iter().position(|ship| ship.ship == row.ship)).flatten();
            match other {
                // Its sums go on where they stood; the last ship is the one at work.
                Some(at) => {
                    let ship = self.ships.remove(at);
                    self.ships.push(ship);
                    back = Some(CameBack::Ship);
                }
                None => self.ships.push(ShipHours::new(&row.ship, self.set.rules.len())),
            }
            self.begin_person(row);
        } else if self.person != row.person {
            self.end_person();
            if self.people_seen.contains(row.person.as_ref()) {
                back = Some(CameBack::Person);
            }
            self.begin_person(row);
        }
        if back.is_some()
            && let Some(ship) = self.ships.last_mut()
        {
            ship.came_back += 1;
        }
        if row.kind == RecordKind::OnCall && self.set.readings.on_call == OnCall::Rest {
            // On call without a call is rest; the row says nothing else.
            if let Some(ship) = self.ships.last_mut() {
                ship.rows += 1;
            }
            return Ok(back);
        }
        if self.work.is_empty() {
            self.offset = row.from.offset;
        } else if self.offset.is_some() != row.from.offset.is_some() {
            return Err(Refused::Offset);
        } else if self.work.len() >= MOST_ROWS {
            return Err(Refused::TooMany);
        }
        self.work.push(row.span);
        if row.kind == RecordKind::Emergency && row.noted {
            self.emergencies.push(row.span);
        } else {
            self.calm.push(row.span);
        }
        Ok(back)
    }

    /// The sums of all ships, in the order in which they came last.
    #[must_use]
    pub fn finish(mut self) -> Vec<ShipHours> {
        self.end_person();
        self.ships
    }

    fn begin_person(&mut self, row: &StreamRow<'_>) {
        self.person.clear();
        self.person.push_str(&row.person);
        if self.people_seen.insert(self.person.clone())
            && let Some(ship) = self.ships.last_mut()
        {
            ship.people += 1;
        }
    }

    /// Checks the person whose rows have been read, and forgets them.
    fn end_person(&mut self) {
        let Some(ship) = self.ships.last_mut() else { return };
        self.work.sort_unstable();
        let (Some(first), Some(last)) = (self.work.first(), self.work.iter().map(|span| span.end()).max()) else { return };
        let Some(scope) = Span::new(first.start(), last) else { return };
        ship.rows += self.work.len();
        let mut end = scope.start();
        for span in &self.work {
            ship.overlapping += usize::from(span.start() < end);
            end = end.max(span.end());
        }
        ship.span = Some(ship.span.map_or(scope, |known| known.hull(scope)));
        ship.person_minutes += i64::from(scope.length().get());
        let clock = clock(self.offset);
        let naive;
        let found: &[Finding] = if let Some(sweep) = &mut self.sweep {
            sweep.turn_to(&clock, scope);
            sweep.findings(&self.work, &[])
        } else {
            naive = findings(&self.set, &Timeline::new(&self.set, self.work.clone(), &[]).on_clock(clock.clone()), scope);
            &naive
        };
        let calm = if self.emergencies.is_empty() || found.is_empty() || self.set.readings.emergencies == Emergencies::Nothing {
            self.emergencies.clear();
            Vec::new()
        } else {
            findings(&self.set, &Timeline::new(&self.set, std::mem::take(&mut self.calm), &[]).on_clock(clock), scope)
        };
        let removed;
        let found = if self.set.readings.emergencies == Emergencies::Removes && !self.emergencies.is_empty() {
            removed = found.iter().copied().filter(|finding| !excused(finding, &self.emergencies, &calm)).collect::<Vec<_>>();
            &removed
        } else {
            found
        };
        ship.people_found += usize::from(!found.is_empty());
        for of_rule in found.chunk_by(|a, b| a.rule == b.rule) {
            let rule = &mut ship.rules[of_rule[0].rule];
            rule.people += 1;
            rule.windows += of_rule.len();
            rule.excused += of_rule.iter().filter(|finding| excused(finding, &self.emergencies, &calm)).count();
            let mut until = Moment::FAR_PAST;
            for finding in of_rule {
                if finding.window.start() >= until {
                    rule.occasions += 1;
                    until = finding.window.end();
                }
                if rule.worst.as_ref().is_none_or(|(_, worst)| finding.shortfall() > worst.shortfall()) {
                    rule.worst = Some((self.person.clone(), *finding));
                }
            }
        }
        self.work.clear();
        self.calm.clear();
        self.emergencies.clear();
    }
}

impl ShipHours {
    fn new(ship: &str, rules: usize) -> Self {
        Self {
            ship: ship.to_owned(),
            people: 0,
            rows: 0,
            overlapping: 0,
            span: None,
            person_minutes: 0,
            rules: vec![RuleHours::default(); rules],
            people_found: 0,
            came_back: 0,
        }
    }

    /// Windows that break a rule, all rules together.
    #[must_use]
    pub fn windows(&self) -> usize {
        self.rules.iter().map(|rule| rule.windows).sum()
    }
}

/// The days of one person: those of the offset of his first row, or of UTC.
fn clock(offset: Option<Minutes>) -> ShipClock {
    let offset = offset.unwrap_or(Minutes::ZERO);
    // Moments count from 00:00 UTC, and a clock shows 00:00 of its first day at the origin: so one with UTC changes to
    // the offset before anything is recorded.
    let change = crate::clock::ClockChange { at: Moment::FAR_PAST, offset };
    ShipClock::new(stream_day_one(), Minutes::ZERO, vec![change]).expect("an offset of less than a day and one change")
}
