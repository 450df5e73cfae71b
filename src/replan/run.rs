//! One task between the plan people were told and now: what was told of it, as the log has it.

use crate::id::TaskId;
use crate::model::{Event, Stop, Task, UnderWay};
use crate::plan::Spell;
use crate::replan::hindered::{Hindered, Ready, Why};
use crate::replan::progress::{Left, State};
use crate::replan::{Effects, Standing, Whole};
use crate::time::{Minutes, Moment, Slots, Span};

/// A spell that was begun.
#[derive(Clone, Debug)]
pub(super) struct Begun {
    pub(super) spell: Spell,
    /// Broken off before its end.
    pub(super) broken: bool,
    /// The log says that it was begun.
    pub(super) seen: bool,
}

/// What one task's entries and told spells come to.
pub(super) struct Run<'a> {
    pub(super) whole: &'a Whole,
    pub(super) id: TaskId,
    pub(super) task: &'a Task,
    /// What was left when the standing plan began.
    pub(super) left: Left,
    pub(super) begun: Vec<Begun>,
    /// Hours that findings add.
    pub(super) more: Minutes,
    /// Hours said to be left, and when.
    pub(super) to_go: Option<(Moment, Minutes)>,
    /// Work from before the standing plan that was not done after all.
    pub(super) undone: Minutes,
    /// When the log last says something about it that what was told before may rest on: not that it will not be done.
    pub(super) heard: Option<Moment>,
    /// Where a finding opened it again: from when it was done to then.
    pub(super) was_done: Option<Span>,
    /// Before when work on it, as told, is borne out by the log: without end once it says that it was begun, else until it last
    /// says what became of what was told.
    pub(super) borne_out: Moment,
    /// When it was stopped, if the log does not say that it was taken up again.
    pub(super) stopped: Option<Moment>,
    /// When it was done, where the plan people were told knew that from the log.
    pub(super) ended: Option<Moment>,
}

impl Run<'_> {
    /// Takes in an entry about it; the plan is to begin at `start`.
    pub(super) fn take(
        &mut self,
        at: Moment,
        event: &Event,
        standing: &Standing,
        start: Moment,
        earlier: &mut Vec<Spell>,
        notes: &mut Vec<String>,
    ) {
        if !matches!(event, Event::Dropped(_)) {
            self.heard = self.heard.max(Some(at));
        }
        if let Event::Started(_, by) = event {
            self.begins(at, by, standing, start, earlier, notes);
            return;
        }
        self.hear(at, event, earlier);
        match event {
            Event::Stopped(_) => {
                self.break_off(at, true);
                self.amend(at, earlier);
            }
            Event::Done(_) => {
                self.break_off(at, false);
                self.amend(at, earlier);
                self.left.state = State::Done(at);
            }
            Event::Dropped(_) => {
                self.break_off(at, false);
                self.left.state = State::Dropped;
            }
            Event::ToGo(_, hours) => {
                self.to_go = Some((at, *hours));
                self.left.state = State::Open;
            }
            Event::Found(_, hours) => {
                self.was_done = self.done_by(at, standing).and_then(|end| Span::new(end, at));
                if !self.left.is_open() {
                    // What was done is done; the finding is all that is left.
                    self.left = Left { length: Slots::ZERO, state: State::Open, ..self.left.clone() };
                    self.begun.clear();
                    self.to_go = Some((at, Minutes::ZERO));
                }
                self.more += *hours;
            }
            _ => {}
        }
    }

    /// Takes in whether an entry bears out work that was told: it was begun, or this has become of it where it was told to have
    /// begun by then.
    pub(super) fn hear(&mut self, at: Moment, event: &Event, earlier: &[Spell]) {
        let told = self.begun.iter().map(|b| &b.spell).chain(earlier.iter().filter(|s| s.task == self.id));
        let begun = told.map(|s| s.span().start()).any(|begin| begin < at);
        let until = if begun { at } else { Moment::FAR_PAST };
        match event {
            Event::Started(..) => (self.borne_out, self.stopped, self.ended) = (Moment::FAR_FUTURE, None, None),
            Event::Stopped(_) => (self.borne_out, self.stopped, self.ended) = (until, Some(at), None),
            Event::Done(_) => self.borne_out = until,
            Event::ToGo(..) | Event::Found(..) => (self.borne_out, self.ended) = (self.borne_out.max(until), None),
            _ => {}
        }
    }

    /// Work ends at `at`: what was to begin later was not begun.
    fn break_off(&mut self, at: Moment, broken: bool) {
        let mut kept = Vec::new();
        for begun in self.begun.drain(..) {
            let short = begun.spell.span().end() > at;
            if let Some(spell) = cut(&begun.spell, at) {
                kept.push(Begun { spell, broken: begun.broken || (broken && short), ..begun });
            }
        }
        self.begun = kept;
    }

    /// Takes what was counted as done after `at` out of the spells from before the standing plan.
    fn amend(&mut self, at: Moment, earlier: &mut Vec<Spell>) {
        let mut kept = Vec::new();
        for spell in earlier.drain(..) {
            if spell.task == self.id && spell.span().end() > at {
                let all: Minutes = spell.work.iter().map(|w| w.length()).sum();
                let cut = cut(&spell, at);
                let stays: Minutes = cut.iter().flat_map(|s| s.work.iter()).map(|w| w.length()).sum();
                self.undone += all - stays;
                kept.extend(cut);
            } else {
                kept.push(spell);
            }
        }
        *earlier = kept;
        if self.undone > Minutes::ZERO && !self.left.is_open() {
            self.left = Left { length: Slots::ZERO, state: State::Open, ..self.left.clone() };
        }
    }

    /// When it was done, if it was by `at` as planned or by the log.
    fn done_by(&self, at: Moment, standing: &Standing) -> Option<Moment> {
        if let State::Done(end) = self.left.state {
            return Some(end);
        }
        let own = standing.tasks.find(|t| *t == self.id);
        let ends = standing.plan.spells.iter().filter(|s| Some(s.task) == own).map(|s| s.span().end());
        ends.max().filter(|end| *end <= at && self.heard == Some(at) && self.to_go.is_none())
    }

    /// Takes out what was told and cannot have been worked on; says so.
    pub(super) fn hinder(&mut self, hindered: &Hindered<'_>, ready: Ready, start: Moment, notes: &mut Vec<String>) {
        let heard = self.heard.unwrap_or(Moment::FAR_PAST);
        let mut kept = Vec::new();
        let mut amiss: Vec<Amiss> = Vec::new();
        for begun in std::mem::take(&mut self.begun) {
            let told = begun.spell.span();
            if begun.seen || told.start() < heard {
                kept.push(begun);
                continue;
            }
            // What lies ahead is a matter of the new plan.
            let mut bars: Vec<(Span, Why)> = ready.bar(&begun.spell).into_iter().chain(hindered.bars(self.task, &begun.spell)).collect();
            bars.retain(|(bar, _)| bar.start() < start);
            bars.sort_unstable();
            let Some((first, why)) = bars.first().copied() else {
                kept.push(begun);
                continue;
            };
            let may_stop = matches!(self.left.stop, Stop::Any { .. });
            // What may not stop, or had not gone on by `start`, ends where it is barred.
            let stands_still = bars.iter().map(|(bar, _)| *bar).find(|bar| !may_stop || bar.end() >= start);
            let spell = stands_still.map_or(Some(begun.spell.clone()), |bar| cut(&begun.spell, bar.start()));
            let spans: Vec<Span> = bars.iter().map(|(bar, _)| *bar).collect();
            let work: Vec<Span> = spell.iter().flat_map(|s| &s.work).flat_map(|w| w.without(&spans)).collect();
            let not_at_all = first.start() <= told.start() && work.is_empty();
            match amiss.iter_mut().find(|row| (row.not_at_all, row.why) == (not_at_all, why)) {
                Some(row) => row.told.push(told.start()),
                None => amiss.push(Amiss { told: vec![told.start()], not_at_all, why }),
            }
            if !work.is_empty() {
                kept.push(Begun { spell: Spell { work, ..begun.spell }, broken: begun.broken || !may_stop, ..begun });
            }
        }
        self.begun = kept;
        notes.extend((!amiss.is_empty()).then(|| self.hindered(&amiss)));
    }

    /// What is said, once, of the spells of a task that cannot have been worked on, or not as told.
    fn hindered(&self, amiss: &[Amiss]) -> String {
        let parts = &self.whole.parts;
        let said: Vec<String> = amiss
            .iter()
            .map(|row| {
                let times: Vec<String> = row.told.iter().map(|at| parts.clock.day_time(*at)).collect();
                let counts = if row.not_at_all { "counts as not begun" } else { "counts as worked on only in part" };
                let why = match row.why {
                    Why::After(task) => format!("{}, which it comes after, was not done in time", parts.tasks[task].code),
                    Why::Person(person) => format!("{} could not be at it", parts.people[person].code),
                    Why::Tool(tool) => format!("{} could not be had", parts.tools[tool].code),
                };
                format!("told for {}, {counts}: {why}", and(&times))
            })
            .collect();
        format!("Task {}, {}. If it was, log it as `started`.", self.task.code, said.join("; "))
    }

    /// Lengths of the parts that were left when the standing plan began.
    pub(super) fn lengths(&self) -> Vec<Slots> {
        let task = Task { length: self.left.length, stop: self.left.stop, under_way: self.left.under_way.clone(), ..self.task.clone() };
        task.part_lengths()
    }

    /// What is left at `start`.
    pub(super) fn settle(&self, start: Moment, effects: &Effects, earlier: &[Spell], notes: &mut Vec<String>) -> Left {
        let begun = self.left.begun || !self.begun.is_empty() || earlier.iter().any(|s| s.task == self.id);
        let mut left = Left { begun, under_way: None, ..self.left.clone() };
        if !left.is_open() {
            return left;
        }
        let ended = self.begun.iter().map(|b| b.spell.span().end()).chain(self.to_go.map(|(at, _)| at)).max();
        let going = self.begun.iter().find(|b| b.spell.span().end() > start).map(|b| &b.spell);
        let mut said = Vec::new();
        let going = going.filter(|spell| self.goes_on(spell, start, effects, &mut said));
        match self.left.stop {
            Stop::Any { .. } => self.settle_any(&mut left, going, start),
            Stop::Never => self.settle_chunks(&mut left, going, start, 1),
            Stop::Parts(_) => self.settle_chunks(&mut left, going, start, self.lengths().len()),
        }
        let done = left.length <= Slots::ZERO;
        // Of what is done nothing is broken off.
        notes.extend(said.into_iter().filter(|_| !done));
        left.state = match (done, ended) {
            (true, Some(end)) => State::Done(end.min(start)),
            (true, None) => self.left.state,
            (false, _) => State::Open,
        };
        left
    }

    /// Minutes at `to_go` minus what was worked since; `None` where nothing was said.
    pub(super) fn said(&self, start: Moment) -> Option<Minutes> {
        let (at, hours) = self.to_go?;
        let since = Span::new(at, start).map_or(Minutes::ZERO, |window| worked(self.begun.iter().map(|b| &b.spell), window));
        Some((hours - since).max(Minutes::ZERO))
    }

    fn settle_any(&self, left: &mut Left, going: Option<&Spell>, start: Moment) {
        let grid = self.whole.parts.grid;
        let before = Span::new(Moment::FAR_PAST, start);
        let done = before.map_or(Minutes::ZERO, |window| worked(self.begun.iter().map(|b| &b.spell), window));
        let planned = grid.length(self.left.length) - done + self.undone;
        let rest = self.said(start).unwrap_or(planned).max(Minutes::ZERO) + self.more;
        left.length = grid.ceil_length(rest);
        let after = Span::new(start, Moment::FAR_FUTURE);
        left.under_way = going.filter(|_| left.length > Slots::ZERO).map(|spell| {
            let rest = after.map_or(Minutes::ZERO, |window| worked(std::iter::once(spell), window));
            UnderWay { team: spell.team.clone(), left: grid.ceil_length(rest).clamp(Slots::new(1), left.length) }
        });
    }

    fn settle_chunks(&self, left: &mut Left, going: Option<&Spell>, start: Moment, parts: usize) {
        let grid = self.whole.parts.grid;
        let lengths = if self.left.length <= Slots::ZERO { Vec::new() } else { self.lengths() };
        let finished = self.begun.iter().filter(|b| !b.broken && b.spell.span().end() <= start).count();
        let mut rest: Vec<i32> = lengths.iter().skip(finished).map(|l| l.count()).collect();
        let after = Span::new(start, Moment::FAR_FUTURE);
        let head = going.map(|spell| {
            let minutes = after.map_or(Minutes::ZERO, |window| worked(std::iter::once(spell), window));
            grid.ceil_length(minutes).count().max(1)
        });
        if let (Some(head), Some(first)) = (head, rest.first_mut()) {
            *first = head;
        }
        let mut total: i32 = rest.iter().sum::<i32>() + grid.ceil_length(self.undone).count();
        if let Some(said) = self.said(start) {
            total = grid.ceil_length(said).count();
        }
        total += grid.ceil_length(self.more).count();
        let mut count = i32::try_from(rest.len().min(parts)).unwrap_or(1).max(i32::from(total > 0)).min(total.max(1));
        let head = head.filter(|_| total > 0 && !rest.is_empty());
        left.length = Slots::new(total.max(0));
        if let (Some(head), Some(spell)) = (head, going) {
            // The part under way comes first, and each other part has a slot at least.
            let head = if count == 1 { total } else { head.min(total - (count - 1)).max(1) };
            left.under_way = Some(UnderWay { team: spell.team.clone(), left: Slots::new(head) });
        }
        if let Stop::Parts(_) = self.left.stop {
            count = count.max(1);
            left.stop = Stop::Parts(u32::try_from(count).unwrap_or(1));
        }
    }

    /// Whether a spell under way can go on: its team is fit for it, and its tools are there. Where it cannot, a
    /// part of a task that may stop only between parts is undone, and that is said.
    fn goes_on(&self, spell: &Spell, start: Moment, effects: &Effects, notes: &mut Vec<String>) -> bool {
        let Some(rest) = Span::new(start, spell.span().end()) else { return false };
        let parts = &self.whole.parts;
        let hindered = spell.team.iter().enumerate().find(|(n, p)| {
            let away = parts.people[**p].away.iter().any(|a| a.overlaps(rest));
            let called = effects.calls(**p, rest) || parts.people[**p].called_after(start).any(|call| call.overlaps(rest));
            // The crew may be written otherwise than when this was told.
            let able = self.task.needs.get(*n).is_some_and(|need| parts.people[**p].holds(*need));
            away || called || !able || effects.bars(**p, self.task.needs.get(*n).copied(), rest)
        });
        let tool = self.task.tools.iter().find(|(tool, _)| effects.gone[*tool].iter().any(|g| g.overlaps(rest)));
        let spent = spell.team.iter().find(|p| effects.spent.contains(&(self.id, **p)));
        let why = match (hindered, tool) {
            (None, None) if spent.is_some() => {
                let who = spent.map_or("", |p| parts.people[*p].code.as_str());
                format!("{who} would go on without the rest that is due")
            }
            (Some((_, person)), _) => format!("{} cannot go on", parts.people[*person].code),
            (None, Some((tool, _))) => format!("{} cannot be had", parts.tools[*tool].code),
            (None, None) => return true,
        };
        let code = &self.task.code;
        notes.push(match self.left.stop {
            Stop::Any { .. } => format!("Task {code} is broken off: {why}."),
            Stop::Never => format!("Task {code} is broken off and all to do again: {why}."),
            Stop::Parts(_) => format!("The part of task {code} under way is broken off and to do again: {why}."),
        });
        false
    }
}

/// Told spells of a task that cannot have been worked on, or not as told, for one reason.
struct Amiss {
    /// When they were told to begin.
    told: Vec<Moment>,
    /// Whether nothing of them can have been done.
    not_at_all: bool,
    why: Why,
}

/// `a, b and c`.
pub(super) fn and(words: &[String]) -> String {
    match words {
        [before @ .., last] if !before.is_empty() => format!("{} and {last}", before.join(", ")),
        _ => words.concat(),
    }
}

/// Minutes of work of `spells` inside `window`.
pub(super) fn worked<'s>(spells: impl Iterator<Item = &'s Spell>, window: Span) -> Minutes {
    spells.flat_map(|s| s.work.iter().filter_map(|w| w.intersection(window))).map(Span::length).sum()
}

/// `spell` without what lies at or after `at`; `None` where nothing is left of it.
pub(super) fn cut(spell: &Spell, at: Moment) -> Option<Spell> {
    let work: Vec<Span> = spell.work.iter().filter_map(|w| Span::new(w.start(), w.end().min(at))).collect();
    (!work.is_empty()).then(|| Spell { work, ..spell.clone() })
}
