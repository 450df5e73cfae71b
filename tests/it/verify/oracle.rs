//! A second verifier for tiny jobs, written from the rules once more: everything is a table of half-hour slots
//! that are marked one by one. It shares nothing with the first one but the data it reads, and it only says
//! which rules are broken, and how large the shortfalls are.
//!
//! It serves jobs in which every time lies on a slot, with the rest rules of [`rules`].

use std::collections::BTreeSet;

use turnto::id::{Id, PersonId, TaskId};
use turnto::model::{OnWatch, Parts, Person, Stand, Stop, When};
use turnto::plan::{Plan, Spell};
use turnto::rest::rule::{BestRests, Kind, LongestRest, RestInterval, Rule, TotalRest};
use turnto::rest::{Edge, Readings, RuleSet, RuleSetParts, Windows};
use turnto::time::{Minutes, Moment, Span};

const SLOT: i32 = 30;

/// Rest rules with short windows, so that a dozen hours are enough to break them: lengths in slots of window
/// and least (or most).
const DAY: (i32, i32) = (16, 6);
const SPLIT: (i32, i32) = (16, 5);
const LONGEST: (i32, i32) = (16, 4);
const MOST_BETWEEN: i32 = 11;
const WEEK: (i32, i32) = (40, 16);
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
struct Table<'a> {
    parts: &'a Parts,
    plan: &'a Plan,
    base: i32,
    slots: usize,
    start: usize,
    end: usize,
    people: Vec<Row>,
}

/// One person, slot by slot.
#[derive(Clone)]
struct Row {
    away: Vec<bool>,
    recorded: Vec<bool>,
    watch: Vec<u32>,
    watch_begins: Vec<bool>,
    duty: Vec<u32>,
    bound_duty: Vec<bool>,
    bound_duty_begins: Vec<bool>,
    along: Vec<u32>,
    spell: Vec<u32>,
    work: Vec<bool>,
    listed: Vec<bool>,
    ordinary: Vec<bool>,
    bound_spell: Vec<bool>,
    hull: Vec<bool>,
    breaks: Vec<Option<usize>>,
}

fn slot_of(moment: Moment) -> i32 {
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

    fn range(&self, span: Span) -> std::ops::Range<usize> {
        let index = |moment: Moment| usize::try_from(slot_of(moment) - self.base).expect("in the table");
        index(span.start())..index(span.end())
    }

    fn row(&self, id: PersonId, person: &Person) -> Row {
        let no = || vec![false; self.slots];
        let none = || vec![0; self.slots];
        let mut row = Row {
            away: no(),
            recorded: no(),
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
    fn occupied(row: &Row) -> Vec<bool> {
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
type Found = (usize, usize, usize, i32);

/// All findings in windows that touch the slots from `scope.0` to `scope.1`.
fn findings(occupied: &[bool], breaks: &[Option<usize>], scope: (usize, usize)) -> Vec<Found> {
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
fn new_findings(some: &[Found], others: &[Found]) -> bool {
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

/// Each rule: whether it is kept.
impl Table<'_> {
    fn one_thing(&self) -> bool {
        self.people.iter().all(|row| {
            (0..self.slots).all(|t| {
                let things = row.watch[t] + row.duty[t] + row.spell[t];
                things <= 1 && row.along[t] <= 1 && !(row.away[t] && (things > 0 || row.listed[t]))
            })
        })
    }

    fn posts(&self) -> bool {
        let stands = self.parts.turns.iter().zip(self.plan.turns.iter()).all(|(turn, person)| match &turn.stand {
            Stand::Fixed(fixed) => fixed == person,
            Stand::Open(people) => people.contains(person),
        });
        let manned = self.parts.posts.pairs().all(|(id, post)| {
            post.manned.iter().flat_map(|s| self.range(*s)).all(|t| {
                self.parts.turns.iter().zip(self.plan.turns.iter()).any(|(turn, person)| {
                    turn.post == id && self.range(turn.span).contains(&t) && self.parts.people[*person].holds(post.competence)
                })
            })
        });
        stands && manned
    }

    fn rest(&self) -> bool {
        let scope = (self.start, self.end);
        self.people.iter().all(|row| {
            let plan = findings(&Self::occupied(row), &row.breaks, scope);
            !new_findings(&plan, &findings(&row.recorded, &row.breaks, scope))
        })
    }

    fn teams(&self) -> bool {
        self.plan.spells.iter().all(|spell| {
            let needs = &self.parts.tasks[spell.task].needs;
            let different: BTreeSet<&PersonId> = spell.team.iter().collect();
            needs.len() == spell.team.len()
                && different.len() == spell.team.len()
                && needs.iter().zip(&spell.team).all(|(need, person)| self.parts.people[*person].holds(*need))
        })
    }

    fn spells(&self, task: TaskId) -> Vec<&Spell> {
        let mut spells: Vec<&Spell> = self.plan.spells.iter().filter(|s| s.task == task).collect();
        spells.sort_by_key(|s| s.span());
        spells
    }

    fn work(&self, spell: &Spell) -> usize {
        spell.work.iter().map(|s| self.range(*s).len()).sum()
    }

    fn stops(&self) -> bool {
        self.parts.tasks.pairs().all(|(id, task)| {
            let spells = self.spells(id);
            let works: Vec<usize> = spells.iter().map(|s| self.work(s)).collect();
            let length = usize::try_from(task.length.count()).expect("positive");
            let apart = spells.windows(2).all(|pair| pair[0].span().end() <= pair[1].span().start());
            if spells.is_empty() {
                return false;
            }
            if task.needs.is_empty() {
                // More than one piece is a matter of rule 5.
                return spells.len() > 1 || spells[0].work.len() > 1 || works[0] == length;
            }
            match task.stop {
                Stop::Never => apart && works == [length] && spells[0].part == 0,
                Stop::Any { min_spell } => {
                    let least = usize::try_from(min_spell.count()).expect("positive");
                    let long_enough = works[..works.len() - 1].iter().all(|w| *w >= least);
                    apart && long_enough && works.iter().sum::<usize>() == length && spells.iter().all(|s| s.part == 0)
                }
                Stop::Parts(number) => {
                    let number = usize::try_from(number).expect("few");
                    let part = |n: usize| length / number + usize::from(n < length % number);
                    let numbered = spells.iter().enumerate().all(|(n, s)| usize::try_from(s.part) == Ok(n));
                    apart && numbered && works == (0..number).map(part).collect::<Vec<usize>>()
                }
            }
        })
    }

    fn pauses(&self) -> bool {
        self.plan.spells.iter().filter(|s| !self.parts.tasks[s.task].needs.is_empty()).all(|spell| {
            let task = &self.parts.tasks[spell.task];
            let working: BTreeSet<usize> = spell.work.iter().flat_map(|s| self.range(*s)).collect();
            let paused: Vec<usize> = self.range(spell.span()).filter(|t| !working.contains(t)).collect();
            let on_break = |t: usize| spell.team.iter().any(|p| self.people[p.index()].breaks[t].is_some());
            let may = task.pauses || matches!(task.stop, Stop::Any { .. });
            !working.iter().any(|t| on_break(*t)) && paused.iter().all(|t| may && on_break(*t)) && paused.len() <= 3
        })
    }

    fn in_hours(&self, spell: &Spell, person: PersonId) -> bool {
        let stretches = &self.parts.people[person].stretches;
        let hours: BTreeSet<usize> =
            stretches.iter().flat_map(|s| s.ordinary.iter().chain(&s.overtime)).flat_map(|s| self.range(*s)).collect();
        spell.work.iter().flat_map(|s| self.range(*s)).all(|t| hours.contains(&t))
    }

    fn bound_to_hours(&self) -> impl Iterator<Item = (&Spell, PersonId)> {
        let bound = self.plan.spells.iter().filter(|s| !self.parts.tasks[s.task].emergency);
        bound.flat_map(|spell| spell.team.iter().map(move |person| (spell, *person)))
    }

    fn one_stretch(&self) -> bool {
        self.bound_to_hours().filter(|(spell, person)| self.in_hours(spell, *person)).all(|(spell, person)| {
            self.parts.people[person].stretches.iter().any(|stretch| {
                let hours: Vec<usize> = stretch.ordinary.iter().chain(&stretch.overtime).flat_map(|s| self.range(*s)).collect();
                let (first, last) = (hours.iter().min().expect("hours"), hours.iter().max().expect("hours"));
                self.range(spell.span()).all(|t| first <= &t && &t <= last)
            })
        })
    }

    /// From the first slot to the one after the last.
    fn task(&self, task: TaskId) -> Option<(usize, usize)> {
        let spells = self.spells(task);
        let first = spells.iter().map(|s| self.range(s.span()).start).min()?;
        Some((first, spells.iter().map(|s| self.range(s.span()).end).max()?))
    }

    fn order(&self) -> bool {
        let index = |moment: Moment| usize::try_from(slot_of(moment) - self.base).expect("in the table");
        let in_order = self.parts.tasks.pairs().all(|(id, task)| {
            let Some((first, last)) = self.task(id) else { return true };
            let waits = task.after.iter().all(|after| {
                let lag = usize::try_from((after.lag.get() + SLOT - 1) / SLOT).expect("positive");
                self.task(after.task).is_none_or(|(_, end)| first >= end + lag)
            });
            let window = task.not_before.is_none_or(|m| first >= index(m)) && task.not_after.is_none_or(|m| last <= index(m));
            let one_piece = !task.needs.is_empty() || self.spells(id).iter().map(|s| s.work.len()).sum::<usize>() == 1;
            let attended = task.attended_by.is_none_or(|post| {
                let manned: BTreeSet<usize> = self.parts.posts[post].manned.iter().flat_map(|s| self.range(*s)).collect();
                (first..last).all(|t| manned.contains(&t))
            });
            waits && window && one_piece && attended && self.start <= first && last <= self.end
        });
        let few_enough = self.parts.posts.pairs().all(|(id, post)| {
            (self.start..self.end).all(|t| {
                let running = self.parts.tasks.pairs().filter(|(_, task)| task.attended_by == Some(id) && task.needs.is_empty());
                let now = running.filter(|(task, _)| self.task(*task).is_some_and(|(from, to)| (from..to).contains(&t))).count();
                now <= usize::try_from(post.attends).expect("few")
            })
        });
        let duties = self.parts.duties.iter().zip(self.plan.duties.iter()).all(|(duty, placed)| match duty.when {
            When::Fixed(span) => span.start() == *placed,
            When::Movable { window, length } => {
                self.parts.start <= *placed && window.covers(Span::of(*placed, length).expect("a duty lasts"))
            }
        });
        let hands = self.plan.on_hand.iter().flat_map(|h| self.range(h.span)).all(|t| (self.start..self.end).contains(&t));
        in_order && few_enough && duties && hands
    }

    fn tools(&self) -> bool {
        self.parts.tools.pairs().all(|(id, tool)| {
            let mut held = vec![0; self.slots];
            for spell in &self.plan.spells {
                for (_, number) in self.parts.tasks[spell.task].tools.iter().filter(|(t, _)| *t == id) {
                    self.range(spell.span()).for_each(|t| held[t] += number);
                }
            }
            for hold in self.parts.holds.iter().filter(|h| h.tool == id) {
                if let (Some((from, _)), Some((_, to))) = (self.task(hold.fill), self.task(hold.empty)) {
                    (from..to).for_each(|t| held[t] += hold.number);
                }
            }
            let away: BTreeSet<usize> = tool.away.iter().flat_map(|s| self.range(*s)).collect();
            (0..self.slots).all(|t| held[t] <= if away.contains(&t) { 0 } else { tool.number })
        })
    }

    fn bans(&self) -> bool {
        self.plan.spells.iter().all(|spell| {
            let tags = &self.parts.tasks[spell.task].tags;
            let windows = self.parts.bans.iter().all(|ban| !ban.tags.iter().any(|t| tags.contains(t)) || !ban.span.overlaps(spell.span()));
            let duties = self.parts.duties.iter().zip(self.plan.duties.iter()).all(|(duty, placed)| {
                let span = match duty.when {
                    When::Fixed(span) => span,
                    When::Movable { length, .. } => Span::of(*placed, length).expect("a duty lasts"),
                };
                !duty.bans.iter().any(|t| tags.contains(t)) || !span.overlaps(spell.span())
            });
            windows && duties
        })
    }

    fn persons(&self) -> bool {
        self.parts.tasks.pairs().all(|(id, task)| {
            let spells = self.spells(id);
            let at = |need: usize| -> BTreeSet<PersonId> { spells.iter().filter_map(|s| s.team.get(need).copied()).collect() };
            let same = task.same.iter().all(|need| at(*need).len() <= 1);
            let different = task.different.iter().all(|rule| {
                let others = self.spells(rule.other);
                let counts = |n: &usize| rule.other_needs.is_empty() || rule.other_needs.contains(n);
                let barred: BTreeSet<PersonId> =
                    others.iter().flat_map(|s| s.team.iter().enumerate().filter(|(n, _)| counts(n)).map(|(_, p)| *p)).collect();
                at(rule.need).is_disjoint(&barred)
            });
            same && different
        })
    }

    fn hours(&self) -> bool {
        let inside = self.bound_to_hours().all(|(spell, person)| self.in_hours(spell, person));
        let caps = self.parts.people.iter().zip(&self.people).all(|(person, row)| {
            let day = |t: usize| (self.base + i32::try_from(t).expect("few slots")).div_euclid(48);
            let mut by_day = std::collections::BTreeMap::<i32, (i32, bool)>::new();
            for t in (0..self.slots).filter(|t| row.work[*t]) {
                let entry = by_day.entry(day(t)).or_default();
                entry.0 += SLOT;
                entry.1 |= !row.ordinary[t];
            }
            let within_cap = person.job_cap.is_none_or(|cap| by_day.values().all(|(minutes, _)| *minutes <= cap.get()));
            let evenings = by_day.values().filter(|(_, overtime)| *overtime).count();
            within_cap && person.evenings.is_none_or(|most| evenings <= usize::try_from(most).expect("few"))
        });
        let hands = self.plan.on_hand.iter().all(|hand| {
            let row = &self.people[hand.person.index()];
            self.parts.people[hand.person].stretches.iter().any(|stretch| {
                let hours: Vec<usize> = stretch.ordinary.iter().flat_map(|s| self.range(*s)).collect();
                let (first, last) = (hours.iter().min().expect("hours"), hours.iter().max().expect("hours"));
                self.range(hand.span).all(|t| first <= &t && &t <= last && (hours.contains(&t) || row.breaks[t].is_some()))
            })
        });
        inside && caps && hands
    }
}

/// The shortfalls.
impl Table<'_> {
    fn machinery(&self) -> i64 {
        let mut missing = 0;
        for (group_id, group) in self.parts.groups.pairs() {
            for t in self.start..self.end {
                let Some(mode) = self.mode(t) else { continue };
                let needed = mode.needs.iter().filter(|(g, _)| *g == group_id).map(|(_, n)| i64::from(*n)).sum::<i64>();
                let able = group.units.iter().filter(|unit| !self.is_out(**unit, t)).count();
                missing += (needed - i64::try_from(able).expect("few")).max(0) * i64::from(mode.weight);
            }
        }
        missing
    }

    fn mode(&self, t: usize) -> Option<&turnto::model::Mode> {
        let now = Moment::new((self.base + i32::try_from(t).expect("few slots")) * SLOT);
        let span = self.parts.mode_spans.iter().find(|(span, _)| span.contains(now));
        span.map(|(_, mode)| &self.parts.modes[*mode])
    }

    fn is_out(&self, unit: turnto::id::UnitId, t: usize) -> bool {
        let broken = self.parts.units[unit].out.iter().any(|s| self.range(*s).contains(&t));
        let tasks = || self.parts.tasks.pairs();
        let takers: Vec<TaskId> = tasks().filter(|(_, task)| task.takes_out.contains(&unit)).map(|(id, _)| id).collect();
        let givers: Vec<TaskId> = tasks().filter(|(_, task)| task.hands_back.contains(&unit)).map(|(id, _)| id).collect();
        let taken = takers.iter().filter_map(|id| self.task(*id)).map(|(from, _)| from).min();
        let back = givers.iter().filter_map(|id| self.task(*id)).map(|(_, to)| to).max();
        let by_plan = match (taken, back) {
            (None, None) => false,
            (None, Some(back)) => t < back,
            (Some(taken), None) => t >= taken,
            (Some(taken), Some(back)) => t >= taken && (t < back || back <= taken),
        };
        broken || by_plan
    }

    fn reserve(&self) -> i64 {
        let mut missing: i64 = (self.start..self.end).map(|t| self.missing_callable(t)).sum();
        // Tiny jobs have one mode, whose clock hours lie in the one ship's day they are planned in.
        if let Some(reserve) = self.mode(self.start).and_then(|mode| mode.reserve.as_ref()) {
            let midnight = slot_of(self.parts.start).div_euclid(48) * 48 - self.base;
            let hour = |m: Minutes| usize::try_from(midnight + m.get() / SLOT).expect("in the table");
            let counts = |t: &usize| (hour(reserve.hours.0)..hour(reserve.hours.1)).contains(t) && (self.start..self.end).contains(t);
            let window = (0..self.slots).filter(counts).count();
            let full = hour(reserve.hours.1) - hour(reserve.hours.0);
            let asked = usize::try_from(reserve.unbooked.get()).expect("positive") * window;
            let needed = asked.div_ceil(full);
            let found: usize = self
                .parts
                .people
                .iter()
                .zip(&self.people)
                .map(|(person, row)| {
                    let taken = |t: usize| row.watch[t] > 0 || row.duty[t] > 0 || row.spell[t] > 0 || row.recorded[t] || row.away[t];
                    let free = (0..self.slots).filter(counts).filter(|&t| row.hull[t] && row.ordinary[t] && !taken(t)).count() * 30;
                    let booked = row.work.iter().filter(|w| **w).count() * 30;
                    person.job_cap.map_or(free, |cap| free.min(usize::try_from(cap.get()).expect("positive").saturating_sub(booked)))
                })
                .sum();
            missing += i64::try_from(needed.saturating_sub(found).div_ceil(30)).expect("few");
        }
        missing
    }

    fn missing_callable(&self, t: usize) -> i64 {
        let Some(reserve) = self.mode(t).and_then(|mode| mode.reserve.as_ref()) else { return 0 };
        let call = usize::try_from(reserve.call.get() / SLOT).expect("positive");
        let callable: Vec<usize> = (0..self.people.len()).filter(|&p| self.callable(p, t, call)).collect();
        let places: Vec<_> = reserve.kinds.iter().flat_map(|k| (0..k.number).map(move |_| k.competence)).collect();
        i64::try_from(places.len() - self.most_filled(&places, &callable)).expect("few")
    }

    /// The most places that different people can fill: every way is tried.
    fn most_filled(&self, places: &[turnto::id::CompetenceId], people: &[usize]) -> usize {
        let Some((first, others)) = places.split_first() else { return 0 };
        let without = self.most_filled(others, people);
        let able = people.iter().filter(|p| self.parts.people[PersonId::from_index(**p)].holds(*first));
        let with = able.map(|p| {
            let left: Vec<usize> = people.iter().copied().filter(|q| q != p).collect();
            1 + self.most_filled(others, &left)
        });
        with.max().unwrap_or(0).max(without)
    }

    fn callable(&self, person: usize, t: usize, call: usize) -> bool {
        let row = &self.people[person];
        let during = t..t + call;
        let bound = row.watch[t] > 0 || row.bound_duty[t] || row.bound_spell[t];
        let begins = during.clone().any(|s| row.watch_begins[s] || row.bound_duty_begins[s]);
        if bound || begins || during.clone().any(|s| row.away[s]) {
            return false;
        }
        let occupied = Self::occupied(row);
        // No turn and no bound duty begins during the call and none is on at its start, so that whatever of
        // them is marked after it also begins after it.
        let after = |s: usize| row.watch[s] > 0 || row.bound_duty[s];
        let without: Vec<bool> = (0..self.slots).map(|s| if s < t { occupied[s] } else { s >= t + call && after(s) }).collect();
        let mut with = without.clone();
        during.for_each(|s| with[s] = true);
        let scope = (t, t + call);
        !new_findings(&findings(&with, &row.breaks, scope), &findings(&without, &row.breaks, scope))
    }
}
