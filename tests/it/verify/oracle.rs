//! A second verifier for tiny jobs, written from the rules once more: everything is a table of half-hour slots
//! that are marked one by one. It shares nothing with the first one but the data it reads, and it only says
//! which rules are broken, and how large the shortfalls are.
//!
//! It serves jobs in which every time lies on a slot, with the rest rules of [`rules`].

use std::collections::BTreeSet;

use turnto::id::PersonId;
use turnto::model::{OnWatch, Parts, Person, RecordKind, Stop, When};
use turnto::plan::Plan;
use turnto::rest::rule::{BestRests, Kind, LongestRest, RestInterval, Rule, TotalRest};
use turnto::rest::{Edge, Readings, RuleSet, RuleSetParts, Windows};
use turnto::time::{Minutes, Moment, Span};

pub(crate) const SLOT: i32 = 30;

/// Rest rules with short windows, so that a dozen hours are enough to break them: lengths in slots of window
/// and least (or most).
const DAY: (i32, i32) = (20, 6);
const SPLIT: (i32, i32) = (20, 5);
const LONGEST: (i32, i32) = (20, 4);
const MOST_BETWEEN: i32 = 14;
const WEEK: (i32, i32) = (48, 17);
/// Least rest in slots.
const MIN_REST: i32 = 2;

/// The same rules as a rule set.
pub(crate) fn rules() -> RuleSet {
    let slots = |n: i32| Minutes::new(n * SLOT);
    let (windows, edge) = (Windows::Anchored, Edge::Part);
    let total = |(window, least): (i32, i32)| Kind::TotalRest(TotalRest { window: slots(window), at_least: slots(least), windows, edge });
    let best = BestRests { window: slots(SPLIT.0), count: 2, at_least: slots(SPLIT.1), windows, edge };
    let longest = LongestRest { window: slots(LONGEST.0), at_least: slots(LONGEST.1), windows, edge };
    let kinds = [
        total(DAY),
        Kind::BestRests(best),
        Kind::LongestRest(longest),
        Kind::RestInterval(RestInterval { at_most: slots(MOST_BETWEEN) }),
        total(WEEK),
    ];
    let rules = kinds.into_iter().enumerate().map(|(n, kind)| Rule { code: format!("rule {n}"), kind, source: "made up".to_owned() });
    let parts = RuleSetParts {
        code: "tiny".to_owned(),
        name: "Short windows".to_owned(),
        source: "made up".to_owned(),
        min_rest: slots(MIN_REST),
        rules: rules.collect(),
        readings: Readings::default(),
        own: true,
        permit: None,
    };
    RuleSet::new(parts).expect("the numbers make sense")
}

/// What the oracle says of a plan.
#[derive(Clone, PartialEq, Eq, Debug)]
pub(crate) struct Verdict {
    /// Numbers of the hard rules that are broken.
    pub(crate) broken: BTreeSet<u8>,
    /// Missing units × slots × weight; nothing where a rule is broken.
    pub(crate) machinery: i64,
    /// Missing callable people × slots, and missing unbooked slots; nothing where a rule is broken.
    pub(crate) reserve: i64,
}

/// The table of slots: from two days before the start to two days after the end, beyond which tiny jobs have
/// nothing.
pub(crate) struct Table<'a> {
    pub(crate) parts: &'a Parts,
    pub(crate) plan: &'a Plan,
    pub(crate) base: i32,
    pub(crate) slots: usize,
    pub(crate) start: usize,
    pub(crate) end: usize,
    pub(crate) people: Vec<Row>,
}

/// One person, slot by slot.
#[derive(Clone)]
pub(crate) struct Row {
    pub(crate) away: Vec<bool>,
    pub(crate) recorded: Vec<bool>,
    /// On a recorded call after the start; at any recorded work then that is no task.
    pub(crate) called: Vec<bool>,
    pub(crate) kept: Vec<bool>,
    pub(crate) kept_begins: Vec<bool>,
    pub(crate) watch: Vec<u32>,
    pub(crate) watch_begins: Vec<bool>,
    pub(crate) duty: Vec<u32>,
    pub(crate) bound_duty: Vec<bool>,
    pub(crate) bound_duty_begins: Vec<bool>,
    pub(crate) along: Vec<u32>,
    pub(crate) spell: Vec<u32>,
    pub(crate) work: Vec<bool>,
    pub(crate) listed: Vec<bool>,
    pub(crate) ordinary: Vec<bool>,
    pub(crate) bound_spell: Vec<bool>,
    pub(crate) hull: Vec<bool>,
    pub(crate) breaks: Vec<Option<usize>>,
}

pub(crate) fn slot_of(moment: Moment) -> i32 {
    assert_eq!(moment.minutes() % SLOT, 0, "every time of a tiny job lies on a slot");
    moment.minutes() / SLOT
}

impl<'a> Table<'a> {
    fn new(parts: &'a Parts, plan: &'a Plan) -> Self {
        let base = slot_of(parts.start) - 2 * 48;
        let slots = usize::try_from(slot_of(parts.end) + 2 * 48 - base).expect("time goes on");
        let index = |moment: Moment| usize::try_from(slot_of(moment) - base).expect("in the table");
        let (start, end) = (index(parts.start), index(parts.end));
        let mut table = Self { parts, plan, base, slots, start, end, people: Vec::new() };
        table.people = parts.people.pairs().map(|(id, person)| table.row(id, person)).collect();
        table
    }

    pub(crate) fn range(&self, span: Span) -> std::ops::Range<usize> {
        let index = |moment: Moment| usize::try_from(slot_of(moment) - self.base).expect("in the table");
        index(span.start())..index(span.end())
    }

    fn row(&self, id: PersonId, person: &Person) -> Row {
        let no = || vec![false; self.slots];
        let none = || vec![0; self.slots];
        let mut row = Row {
            away: no(),
            recorded: no(),
            called: no(),
            kept: no(),
            kept_begins: no(),
            watch: none(),
            watch_begins: no(),
            duty: none(),
            bound_duty: no(),
            bound_duty_begins: no(),
            along: none(),
            spell: none(),
            work: no(),
            listed: no(),
            ordinary: no(),
            bound_spell: no(),
            hull: no(),
            breaks: vec![None; self.slots],
        };
        person.away.iter().flat_map(|s| self.range(*s)).for_each(|t| row.away[t] = true);
        person.recorded.iter().flat_map(|r| self.range(r.span)).for_each(|t| row.recorded[t] = true);
        for record in &person.recorded {
            let after = self.range(record.span).filter(|t| *t >= self.start);
            let call = matches!(record.kind, RecordKind::Call | RecordKind::Emergency);
            let kept = !matches!(record.kind, RecordKind::Task | RecordKind::OnCall);
            if let Some(first) = after.clone().next() {
                row.kept_begins[first] |= kept;
            }
            for t in after {
                row.called[t] |= call;
                row.kept[t] |= kept;
            }
        }
        person.stretches.iter().flat_map(|s| &s.ordinary).flat_map(|s| self.range(*s)).for_each(|t| row.ordinary[t] = true);
        for (number, span) in person.breaks.iter().enumerate() {
            self.range(*span).for_each(|t| row.breaks[t] = Some(number));
        }
        for (turn, stood) in self.parts.turns.iter().zip(self.plan.turns.iter()) {
            if *stood == id {
                let range = self.range(turn.span);
                row.watch_begins[range.start.max(self.start)] = true;
                range.filter(|t| *t >= self.start).for_each(|t| row.watch[t] += 1);
            }
        }
        for (duty, placed) in self.parts.duties.iter().zip(self.plan.duties.iter()) {
            if !duty.who.contains(&id) {
                continue;
            }
            let span = match duty.when {
                When::Fixed(span) => span,
                When::Movable { length, .. } => Span::of(*placed, length).expect("a duty lasts"),
            };
            let mut before = false;
            for t in self.range(span).filter(|t| *t >= self.start) {
                let on_watch = row.watch[t] > 0;
                let attended = match duty.on_watch {
                    OnWatch::Clash => true,
                    OnWatch::Excused | OnWatch::DoneOnWatch => !on_watch,
                };
                if attended {
                    row.duty[t] += 1;
                    if !duty.leavable {
                        row.bound_duty[t] = true;
                        row.bound_duty_begins[t] |= !before;
                    }
                } else if duty.on_watch == OnWatch::DoneOnWatch {
                    row.along[t] += 1;
                }
                before = attended;
            }
        }
        for spell in self.plan.spells.iter().filter(|s| s.team.contains(&id)) {
            let stops = matches!(self.parts.tasks[spell.task].stop, Stop::Any { .. });
            for t in self.range(spell.span()) {
                row.spell[t] += 1;
                row.bound_spell[t] |= !stops;
            }
            spell.work.iter().flat_map(|s| self.range(*s)).for_each(|t| row.work[t] = true);
        }
        self.plan.on_hand.iter().filter(|h| h.person == id).flat_map(|h| self.range(h.span)).for_each(|t| row.listed[t] = true);
        self.mark_hulls(person, &mut row);
        row
    }

    /// Between the first and the last piece of work or listed time of a stretch, a person is on hand.
    fn mark_hulls(&self, person: &Person, row: &mut Row) {
        for stretch in &person.stretches {
            let used = |piece: &Span| self.range(*piece).any(|t| row.work[t]);
            let hours: Vec<usize> = stretch.ordinary.iter().flat_map(|s| self.range(*s)).collect();
            let extra = stretch.overtime.iter().filter(|piece| used(piece)).flat_map(|s| self.range(*s));
            let effective: Vec<usize> = hours.into_iter().chain(extra).collect();
            let (from, to) = (*effective.iter().min().expect("hours"), *effective.iter().max().expect("hours"));
            let busy: Vec<usize> =
                (from..=to).filter(|&t| row.watch[t] > 0 || row.duty[t] > 0 || row.spell[t] > 0 || row.listed[t]).collect();
            if let (Some(first), Some(last)) = (busy.first(), busy.last()) {
                (*first..=*last).for_each(|t| row.hull[t] = true);
            }
        }
    }

    /// Neither rest nor off, slot by slot.
    pub(crate) fn occupied(row: &Row) -> Vec<bool> {
        (0..row.watch.len()).map(|t| row.recorded[t] || row.watch[t] > 0 || row.duty[t] > 0 || row.work[t] || row.hull[t]).collect()
    }
}

/// The runs of marked slots.
fn runs(marks: &[bool]) -> Vec<(usize, usize)> {
    let mut runs = Vec::new();
    let mut from = None;
    for (t, mark) in marks.iter().chain([&false]).enumerate() {
        match (from, mark) {
            (None, true) => from = Some(t),
            (Some(start), false) => {
                runs.push((start, t));
                from = None;
            }
            (None, false) | (Some(_), true) => {}
        }
    }
    runs
}

/// A finding: rule, window, and by how many slots it is missed.
pub(crate) type Found = (usize, usize, usize, i32);

/// All findings in windows that touch the slots from `scope.0` to `scope.1`.
pub(crate) fn findings(occupied: &[bool], breaks: &[Option<usize>], scope: (usize, usize)) -> Vec<Found> {
    let int = |n: usize| i32::try_from(n).expect("few slots");
    let mut marks = occupied.to_vec();
    let pieces = runs(&marks);
    for pair in pieces.windows(2) {
        let gap = pair[0].1..pair[1].0;
        let one_break = breaks[gap.start].is_some() && gap.clone().all(|t| breaks[t] == breaks[gap.start]);
        if int(gap.len()) < MIN_REST || one_break {
            gap.for_each(|t| marks[t] = true);
        }
    }
    let blocks = runs(&marks);
    let mut found = Vec::new();
    let touches = |from: usize, to: usize| from < scope.1 && scope.0 < to;
    let window_lists = |length: i32| -> BTreeSet<(usize, usize)> {
        let length = usize::try_from(length).expect("positive");
        let ends = blocks.iter().flat_map(|(from, to)| [(*from, from + length), (to.saturating_sub(length), *to)]);
        ends.filter(|(from, to)| *to <= marks.len() && to - from == length && touches(*from, *to)).collect()
    };
    let rests = |from: usize, to: usize| -> Vec<i32> {
        let free: Vec<bool> = marks[from..to].iter().map(|m| !m).collect();
        let mut lengths: Vec<i32> = runs(&free).iter().map(|(a, b)| int(b - a)).collect();
        lengths.sort_unstable_by(|a, b| b.cmp(a));
        lengths
    };
    let limits = [(0, DAY, usize::MAX), (1, SPLIT, 2), (2, LONGEST, 1), (4, WEEK, usize::MAX)];
    for (rule, (window, least), count) in limits {
        for (from, to) in window_lists(window) {
            let rest: i32 = rests(from, to).into_iter().take(count).sum();
            if rest < least {
                found.push((rule, from, to, least - rest));
            }
        }
    }
    for (from, to) in blocks.iter().copied().filter(|(from, to)| touches(*from, *to)) {
        if int(to - from) > MOST_BETWEEN {
            found.push((3, from, to, int(to - from) - MOST_BETWEEN));
        }
    }
    found
}

/// Findings of `some` that `others` do not have at least as badly.
pub(crate) fn new_findings(some: &[Found], others: &[Found]) -> bool {
    let excused = |f: &Found| others.iter().any(|o| (o.0, o.1, o.2) == (f.0, f.1, f.2) && o.3 >= f.3);
    some.iter().any(|f| !excused(f))
}

/// Judges a plan.
pub(crate) fn judge(parts: &Parts, plan: &Plan) -> Verdict {
    let table = Table::new(parts, plan);
    let checks = [
        table.one_thing(),
        table.posts(),
        table.rest(),
        table.teams() && table.stops() && table.pauses() && table.one_stretch(),
        table.order(),
        table.tools() && table.bans(),
        table.persons(),
        table.hours(),
    ];
    let broken: BTreeSet<u8> = (1..).zip(checks).filter(|(_, kept)| !kept).map(|(rule, _)| rule).collect();
    // Shortfalls of a plan that breaks a rule are nobody's concern.
    let (machinery, reserve) = if broken.is_empty() { (table.machinery(), table.reserve()) } else { (0, 0) };
    Verdict { broken, machinery, reserve }
}
