//! Holds what a person stands against his rest rules, exactly.

use crate::id::PersonId;
use crate::model::{OnWatch, Person, Problem, Stand, When};
use crate::rest::rule::Kind;
use crate::rest::{ClosedRules, Line, LineInput, Mark, RuleSet, Timeline, Windows, judge};
use crate::time::{Minutes, Moment, Span, union};

/// One person's rest with all his fixed work, to which turns are added and taken back.
#[derive(Debug)]
pub(super) struct Checker<'p> {
    problem: &'p Problem,
    id: PersonId,
    /// How far his rest is judged.
    scope: Span,
    line: Line,
    /// Fixed turns, duties and turns already given, in time order.
    fixed: Vec<Span>,
    /// Fixed turns and turns already given.
    turns: Vec<Span>,
    /// Duties at which nobody may have the watch.
    clash: Vec<Span>,
    /// Ordinary hours of each working stretch, from the first to the last minute, in time order.
    stretches: Vec<Span>,
    /// Turns added and not taken back.
    added: Vec<Span>,
}

impl<'p> Checker<'p> {
    /// The person with `given` turns beside the fixed ones. `None` where his fixed work alone breaks his rest.
    pub(super) fn new(problem: &'p Problem, id: PersonId, given: &[Span]) -> Option<Self> {
        let person = &problem.people[id];
        let own = problem.turns.iter().filter(|t| matches!(t.stand, Stand::Fixed(p) if p == id));
        let turns: Vec<Span> = own.filter_map(|t| from_start(problem, t.span)).chain(given.iter().copied()).collect();
        let mut fixed = turns.clone();
        let mut clash = Vec::new();
        for duty in problem.duties.iter().filter(|d| d.who.contains(&id)) {
            let When::Fixed(span) = duty.when else { continue };
            fixed.extend(from_start(problem, span));
            if duty.on_watch == OnWatch::Clash {
                clash.push(span);
            }
        }
        fixed.sort_unstable();
        let stretches = ordinary_hulls(person);
        let recorded: Vec<Span> = person.recorded.iter().map(|r| r.span).collect();
        let work = with_on_hand(&stretches, &fixed, &person.breaks);
        let rules = closed(&problem.rule_sets[person.rest]);
        let line = |end: Moment| {
            let scope = Span::new(problem.start, end)?;
            let input =
                LineInput { rules: &rules, recorded: &recorded, fixed: &work, breaks: &person.breaks, scope, clock: &problem.clock };
            Some((scope, Line::new(input))).filter(|(_, line)| line.is_clean())
        };
        // Judged as far as turns are laid out, or else, where that is hopeless anyway, as far as the plan may grow, or as
        // far as it is meant to go.
        let (scope, line) = [problem.layout_end, problem.latest_end, problem.end].into_iter().find_map(line)?;
        Some(Self { problem, id, scope, line, fixed, turns, clash, stretches, added: Vec::new() })
    }

    /// The same person as far as `time` goes: whatever breaks his rest here breaks it altogether, and it is found with
    /// less work. `None` where nothing can be said so.
    pub(super) fn near(&self, time: Span) -> Option<Self> {
        let person = &self.problem.people[self.id];
        let in_time = |spans: &[Span]| -> Vec<Span> { spans.iter().copied().filter(|s| s.overlaps(time)).collect() };
        let (fixed, stretches) = (in_time(&self.fixed), in_time(&self.stretches));
        let recorded: Vec<Span> = person.recorded.iter().map(|r| r.span).filter(|s| s.overlaps(time)).collect();
        let work = with_on_hand(&stretches, &fixed, &person.breaks);
        let breaks = in_time(&person.breaks);
        let scope = self.scope.intersection(time)?;
        let rules = closed(&self.problem.rule_sets[person.rest]);
        let input = LineInput { rules: &rules, recorded: &recorded, fixed: &work, breaks: &breaks, scope, clock: &self.problem.clock };
        let line = Some(Line::new(input)).filter(Line::is_clean)?;
        let (turns, clash) = (in_time(&self.turns), in_time(&self.clash));
        Some(Self { scope, line, fixed, turns, clash, stretches, added: Vec::new(), ..*self })
    }

    /// Who.
    pub(super) const fn id(&self) -> PersonId {
        self.id
    }

    /// Whether a turn can be stood beside the fixed work and what was added, rest left aside.
    pub(super) fn free(&self, span: Span) -> bool {
        // Other duties are no hindrance: those on watch are excused, or do them there.
        let mut taken = self.added.iter().chain(&self.clash).chain(&self.turns);
        let person = &self.problem.people[self.id];
        !taken.any(|t| t.overlaps(span)) && person.aboard(span) && !person.called_after(self.problem.start).any(|call| call.overlaps(span))
    }

    /// Adds turns; [`Checker::leave`] takes them back.
    pub(super) fn enter(&mut self, turns: &[Span]) -> (Mark, usize) {
        let mark = (self.line.mark(), self.added.len());
        self.added.extend(turns);
        for turn in turns {
            self.line.insert(*turn);
        }
        for turn in turns {
            let from = self.stretches.partition_point(|s| s.end() <= turn.start());
            for s in from..self.stretches.len() {
                let stretch = self.stretches[s];
                if stretch.start() >= turn.end() {
                    break;
                }
                let near = self.fixed.iter().skip(self.fixed.partition_point(|f| f.start() + Minutes::DAY < stretch.start()));
                let near = near.take_while(|f| f.start() < stretch.end()).chain(&self.added);
                let hull = near.filter_map(|p| p.intersection(stretch)).reduce(Span::hull).filter(|hull| !turn.covers(*hull));
                for part in hull.into_iter().flat_map(|h| h.without(&self.problem.people[self.id].breaks)) {
                    self.line.insert(part);
                }
            }
        }
        mark
    }

    /// Takes back what was added since `mark`.
    pub(super) fn leave(&mut self, mark: (Mark, usize)) {
        self.line.undo(mark.0);
        self.added.truncate(mark.1);
    }

    /// Whether nothing added so far breaks his rest.
    pub(super) const fn is_clean(&self) -> bool {
        self.line.is_clean()
    }

    /// Whether turns can be added without breaking his rest.
    pub(super) fn legal(&mut self, turns: &[Span]) -> bool {
        let mark = self.enter(turns);
        let clean = self.is_clean();
        self.leave(mark);
        clean
    }

    /// All work as it is now, for a full account of his rest.
    pub(super) fn work(&self) -> Vec<Span> {
        self.line.work().to_vec()
    }

    /// What turns break first: the window, and where it is a sum in a window that is looked at wherever it lies, by how
    /// many minutes of work it is over what may be, less one.
    pub(super) fn broken(&mut self, turns: &[Span]) -> Option<(Span, Option<i64>)> {
        let mark = self.enter(turns);
        let work = self.work();
        self.leave(mark);
        let person = &self.problem.people[self.id];
        let rules = closed(&self.problem.rule_sets[person.rest]);
        let set = rules.set();
        let line = |work: Vec<Span>| Timeline::new(set, work, &person.breaks).on_clock(self.problem.clock.clone());
        let record = line(person.recorded.iter().map(|r| r.span).collect());
        let judged = judge(set, &line(work.clone()), &record, self.scope);
        let finding = judged.counting.first()?;
        let sum = match &set.rules[finding.rule].kind {
            Kind::TotalRest(rule) => Some((rule.windows, rule.window - rule.at_least)),
            Kind::MostWork(rule) => Some((rule.windows, rule.at_most)),
            _ => None,
        };
        let over = sum.and_then(|(windows, most)| {
            let anywhere = matches!(windows, Windows::Anchored | Windows::EveryMinute);
            let inside: Minutes = work.iter().filter_map(|w| w.intersection(finding.window)).map(Span::length).sum();
            let over = i64::from((inside - most).get()) - 1;
            (anywhere && over >= 0).then_some(over)
        });
        Some((finding.window, over))
    }

    /// Minutes of turns in a window that are not work anyway.
    pub(super) fn new_minutes(&self, window: Span, turns: &[Span]) -> i64 {
        let parts = turns.iter().filter_map(|t| t.intersection(window)).flat_map(|t| t.without(&self.fixed));
        parts.map(|p| i64::from(p.length().get())).sum()
    }

    /// The most job time the person could still give in the ordinary hours of his stretch number `number`: the
    /// longest run of them, from one end of the stretch, that his rest allows.
    pub(super) fn spare(&mut self, number: usize) -> Minutes {
        let person = &self.problem.people[self.id];
        let taken: Vec<Span> = union(self.fixed.iter().chain(&self.added).chain(&person.away).copied().collect());
        let free: Vec<Span> = person.stretches[number].ordinary.iter().flat_map(|o| o.without(&taken)).collect();
        let all: Minutes = free.iter().map(|f| f.length()).sum();
        let best = if self.fits(&free) {
            all
        } else {
            let backwards: Vec<Span> = free.iter().rev().copied().collect();
            self.run(&free, all, first_of).max(self.run(&backwards, all, last_of))
        };
        person.job_cap.map_or(best, |cap| best.min(cap))
    }

    /// The longest run of `pieces` that fits, cut by `cut`; to a slot.
    fn run(&mut self, pieces: &[Span], all: Minutes, cut: fn(&[Span], Minutes) -> Vec<Span>) -> Minutes {
        let slot = self.problem.grid.slot();
        let (mut low, mut high) = (0, all.get() / slot.get());
        while low < high {
            let middle = (low + high + 1) / 2;
            if self.fits(&cut(pieces, Minutes::new(middle * slot.get()))) {
                low = middle;
            } else {
                high = middle - 1;
            }
        }
        Minutes::new(low * slot.get())
    }

    fn fits(&mut self, pieces: &[Span]) -> bool {
        let mark = self.line.mark();
        // From turning to until knocking off nothing is rest; named breaks part it as they may.
        if let Some(hull) = pieces.iter().copied().reduce(Span::hull) {
            for part in hull.without(&self.problem.people[self.id].breaks) {
                self.line.insert(part);
            }
        }
        let clean = self.line.is_clean();
        self.line.undo(mark);
        clean
    }
}

/// The first `length` of pieces in time order.
fn first_of(pieces: &[Span], length: Minutes) -> Vec<Span> {
    let mut left = length;
    let mut kept = Vec::new();
    for piece in pieces {
        kept.extend(Span::of(piece.start(), left.min(piece.length())));
        left = Minutes::new((left - piece.length()).get().max(0));
    }
    kept
}

/// The last `length` of pieces against time order.
fn last_of(pieces: &[Span], length: Minutes) -> Vec<Span> {
    let mut left = length;
    let mut kept = Vec::new();
    for piece in pieces {
        let part = left.min(piece.length());
        kept.extend(Span::of(piece.end() - part, part));
        left = left - part;
    }
    kept
}

/// Ordinary hours of each working stretch of a person, from the first to the last minute, in time order.
pub(super) fn ordinary_hulls(person: &Person) -> Vec<Span> {
    person.stretches.iter().filter_map(|s| s.ordinary.iter().copied().reduce(Span::hull)).collect()
}

/// Pieces of work with the time on hand between them: in every stretch what lies between its first and its last, but
/// for named breaks.
pub(super) fn with_on_hand(stretches: &[Span], pieces: &[Span], breaks: &[Span]) -> Vec<Span> {
    let hull = |stretch: &Span| pieces.iter().filter_map(|p| p.intersection(*stretch)).reduce(Span::hull);
    let on_hand = stretches.iter().filter_map(hull).flat_map(|hull| hull.without(breaks));
    pieces.iter().copied().chain(on_hand).collect()
}

/// The part of a stretch from the start of planning on.
fn from_start(problem: &Problem, span: Span) -> Option<Span> {
    Span::new(span.start().max(problem.start), span.end())
}

/// Rules to plan with: closed ones (added work never cures a finding) that are at least as strict as the set.
pub(super) fn closed(set: &RuleSet) -> ClosedRules {
    set.steering().expect("whoever makes a roster asks first whether the rules can steer")
}
