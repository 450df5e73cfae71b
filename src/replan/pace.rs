//! How work goes on that the log says was begun: as it was told, begun then and no faster, and not past the hours of those
//! who are at it.

use crate::id::PersonId;
use crate::model::{Event, Stop};
use crate::plan::Spell;
use crate::replan::run::{Begun, Run};
use crate::replan::{Left, Standing, State};
use crate::time::{Minutes, Moment, Slots, Span, union};

impl Run<'_> {
    /// Takes in an entry that the plan people were told knew of already; `earlier` is what was worked before it.
    pub(super) fn knew(&mut self, at: Moment, event: &Event, earlier: &[Spell]) {
        let begun = std::mem::take(&mut self.begun);
        self.hear(at, event, earlier);
        self.begun = begun;
        if let Event::Done(_) = event {
            (self.stopped, self.ended) = (None, Some(at));
        }
    }

    /// The log says that work began at `at`: before, nothing was done but what the log bears out. Where it is said late, what was
    /// counted as worked on then goes on as it was counted, and what was done by then stays done.
    pub(super) fn begins(
        &mut self,
        at: Moment,
        by: &[PersonId],
        standing: &Standing,
        start: Moment,
        earlier: &mut Vec<Spell>,
        notes: &mut Vec<String>,
    ) {
        if let Some(end) = self.ended
            && at < end
        {
            self.worked_from(at, end, by, earlier);
            return;
        }
        let at_it = |spell: &Spell| spell.span().contains(at) && (by.is_empty() || spell.team == by);
        let counted = earlier.iter().any(|s| s.task == self.id && at_it(s));
        let mut others = by.to_vec();
        if self.borne_out < at {
            // Where nobody was told any more, those who were told before.
            let told = standing.tasks.find(|t| *t == self.id).is_some();
            if let Some(last) = earlier.iter().rfind(|s| s.task == self.id && by.is_empty() && !told) {
                others.clone_from(&last.team);
            }
            self.nothing_before(at, counted, earlier, notes);
        }
        self.hear(at, &Event::Started(self.id, Vec::new()), earlier);
        if counted {
            return;
        }
        self.started(at, &others, standing, start);
        if let State::Done(end) = self.left.state {
            notes.push(self.done_already(end, at));
        }
    }

    /// What was told or counted before `at`, and the log does not bear out, was not done, and that is said. Of a spell that was
    /// `counted` on at `at`, what comes after stays.
    fn nothing_before(&mut self, at: Moment, counted: bool, earlier: &mut Vec<Spell>, notes: &mut Vec<String>) {
        let grid = self.whole.parts.grid;
        let (mut first, mut taken, mut whole): (Option<Moment>, Minutes, u32) = (None, Minutes::ZERO, 0);
        let out = |first: Option<Moment>, span: Span| Some(first.map_or(span.start(), |f| f.min(span.start())));
        let borne_out = self.borne_out;
        let over = |spell: &Spell| spell.span().end() <= at && spell.span().start() >= borne_out;
        for begun in self.begun.iter().filter(|b| over(&b.spell)) {
            first = out(first, begun.spell.span());
        }
        self.begun.retain(|b| !over(&b.spell));
        let mut kept = Vec::new();
        for spell in earlier.drain(..) {
            let span = spell.span();
            if spell.task != self.id || span.start() >= at || span.start() < self.borne_out {
                kept.push(spell);
                continue;
            }
            let goes_on = counted && span.end() > at;
            let stays: Vec<Span> =
                if goes_on { spell.work.iter().filter_map(|w| Span::new(w.start().max(at), w.end())).collect() } else { Vec::new() };
            let lost = spell.work.iter().map(|w| w.length()).sum::<Minutes>() - stays.iter().map(|w| w.length()).sum();
            (first, taken, whole) = (out(first, span), taken + lost, whole + u32::from(!goes_on));
            if !stays.is_empty() {
                kept.push(Spell { work: stays, ..spell });
            }
        }
        *earlier = kept;
        if let Some(first) = first {
            notes.push(self.not_before(first, at));
        }
        if taken <= Minutes::ZERO {
            return;
        }
        let done = matches!(self.left.state, State::Done(_));
        let left = if done { Slots::ZERO } else { self.left.length };
        if counted {
            self.undone += taken;
            self.left = Left { length: left, state: State::Open, ..self.left.clone() };
            return;
        }
        // It is as if it had never been begun, with the parts it had.
        let found = self.whole.log.entries.iter().filter_map(|e| match e.event {
            Event::Found(task, hours) if task == self.id => Some(hours),
            _ => None,
        });
        let most = self.task.length + grid.ceil_length(found.sum());
        let length = (left + grid.ceil_length(taken)).min(most.max(left));
        let under_way = u32::from(self.left.under_way.is_some());
        let stop = match (self.left.stop, self.task.stop) {
            (Stop::Parts(parts), Stop::Parts(most)) => {
                let left = if done { 0 } else { parts };
                Stop::Parts((left + whole - under_way.min(whole)).clamp(1, most.max(1)))
            }
            (stop, _) => stop,
        };
        self.left = Left { length, stop, state: State::Open, under_way: None, ..self.left.clone() };
    }

    /// What is said of a task that was told for `first`, where the first the log says of it is that it was begun at `at`.
    fn not_before(&self, first: Moment, at: Moment) -> String {
        let clock = &self.whole.parts.clock;
        let (code, first, when) = (&self.task.code, clock.day_time(first), clock.day_time(at));
        let (again, since) = if self.borne_out > Moment::FAR_PAST {
            ("gone on with", format!("since {}", clock.day_time(self.borne_out)))
        } else {
            ("begun", "before".to_owned())
        };
        format!(
            "Task {code}, told for {first}, counts as not {again} before {when}: the log says that it was started then, and nothing of work \
             on it {since}. If there was, log what is left of it as `to_go`."
        )
    }

    /// What is said of a task that counts as done since `end` and that the log says was begun at `at`.
    fn done_already(&self, end: Moment, at: Moment) -> String {
        let (clock, code) = (&self.whole.parts.clock, &self.task.code);
        format!(
            "Task {code} counts as done since {}, though the log says that it was started at {}: if something of it is left, log that as \
             `to_go`.",
            clock.day_time(end),
            clock.day_time(at)
        )
    }

    /// Work from `at` to `end`, when it was done, of which the log tells late.
    fn worked_from(&mut self, at: Moment, end: Moment, by: &[PersonId], earlier: &[Spell]) {
        let mine = earlier.iter().filter(|s| s.task == self.id);
        let last = mine.clone().rfind(|s| s.span().start() <= at).or(mine.clone().next());
        let team = if by.is_empty() { last.map(|s| s.team.clone()) } else { Some(by.to_vec()) };
        let Some(team) = team else { return };
        let mut off = self.breaks(&team);
        off.extend(mine.flat_map(|s| s.work.iter().copied()));
        let off = union(off);
        let more = Span::new(at, end);
        let work: Vec<Span> = more.iter().flat_map(|more| self.at_work(&team, *more)).flat_map(|span| span.without(&off)).collect();
        if !work.is_empty() {
            self.put(work, team, true);
        }
    }

    /// Since when it had been stopped when it was done at `at`, if nothing says that it was taken up again.
    pub(super) fn stopped_until(&self, at: Moment) -> Option<Moment> {
        let stopped = self.stopped.filter(|stopped| *stopped < at)?;
        self.begun.iter().all(|b| b.spell.span().start() < stopped).then_some(stopped)
    }

    /// What is said of a task that was stopped, and done later, with nothing in between; nothing where nobody works on it.
    pub(super) fn taken_up_unknown(&self, stopped: Moment, at: Moment) -> Option<String> {
        let clock = &self.whole.parts.clock;
        (!self.task.unmanned()).then(|| {
            format!(
                "Task {} was stopped at {} and done at {}, and the log does not say when it was taken up again: no work on it counts in \
                 between, and nobody's hours. Log that time as `started`.",
                self.task.code,
                clock.day_time(stopped),
                clock.day_time(at)
            )
        })
    }

    /// A spell begins at `at`, by `by` or by those who were told, and goes on; what was told to follow it before `start`
    /// follows it.
    pub(super) fn started(&mut self, at: Moment, by: &[PersonId], standing: &Standing, start: Moment) {
        let own = standing.tasks.find(|t| *t == self.id);
        let mut told: Vec<&Spell> = standing.plan.spells.iter().filter(|s| Some(s.task) == own).collect();
        told.sort_by_key(|s| s.span());
        let next = self.begun.iter().filter(|b| b.spell.span().end() <= at).count();
        let next = next.max(self.stands_for(next, at, &told));
        let meant = told.get(next).or(told.last()).map(|s| s.team.clone());
        // Without a told team there is nobody to put down; a task that nobody works on has an empty one.
        let team = if by.is_empty() { meant.clone() } else { Some(by.to_vec()) };
        let Some(team) = team.or_else(|| self.task.unmanned().then(Vec::new)) else { return };
        // What was only thought to be under way, or still to come, is this spell.
        self.begun.retain(|b| b.spell.span().end() <= at);
        let whole = laid(at, self.next_length(at), &self.breaks(&team));
        let work = match self.left.stop {
            Stop::Any { .. } => until(&whole, self.knocks_off(&team, at, &told)),
            Stop::Parts(_) | Stop::Never => whole,
        };
        if work.is_empty() {
            return;
        }
        self.put(work, team.clone(), true);
        self.left.state = State::Open;
        self.left.begun = true;
        for spell in told.iter().skip(next + 1) {
            let team = if meant.as_ref() == Some(&spell.team) { &team } else { &spell.team };
            self.follows(spell, team, &told, start);
        }
    }

    /// Which of the spells that were `told` is begun at `at`, after the first `done`: the next one, but where more of them were
    /// to be over by then, the first of that day, or else the last that should have been.
    fn stands_for(&self, done: usize, at: Moment, told: &[&Spell]) -> usize {
        let clock = &self.whole.parts.clock;
        let over = told.iter().filter(|s| s.span().end() <= at).count();
        if over <= done {
            return done;
        }
        let today = told.iter().skip(done).position(|s| clock.day(s.span().start()) == clock.day(at));
        today.map_or(over - 1, |ahead| done + ahead)
    }

    /// What was told to follow what was begun follows it, as far as it is begun before `start` and something is left to do:
    /// when it was told, or as soon as what is before it is done, that day or not at all.
    fn follows(&mut self, told: &Spell, team: &[PersonId], all: &[&Spell], start: Moment) {
        let ended = self.begun.iter().map(|b| b.spell.span().end()).max().unwrap_or(Moment::FAR_PAST);
        let from = ended.max(told.span().start());
        if from >= start {
            return;
        }
        let length = match self.left.stop {
            Stop::Any { .. } => self.to_do(from).min(told.work.iter().map(|w| w.length()).sum()),
            Stop::Parts(_) if self.begun.iter().filter(|b| !b.broken).count() < self.lengths().len() => self.next_length(from),
            Stop::Parts(_) | Stop::Never => Minutes::ZERO,
        };
        let work = laid(from, length, &self.breaks(team));
        let late = work.last().is_some_and(|last| last.end() > self.knocks_off(team, from, all));
        if work.is_empty() || late && from > told.span().start() {
            return;
        }
        self.put(work, team.to_vec(), false);
    }

    /// Whoever was at it last was at it through `more`, which begins when the last spell ends, `elsewhere` left out.
    pub(super) fn went_on(&mut self, elsewhere: &[Span], more: Span) {
        let Some(last) = self.begun.iter().enumerate().max_by_key(|(_, b)| b.spell.span().end()).map(|(n, _)| n) else { return };
        let begun = &self.begun[last];
        if begun.broken || begun.spell.team.is_empty() {
            return;
        }
        let mut off = self.breaks(&begun.spell.team);
        off.extend_from_slice(elsewhere);
        let work: Vec<Span> = self.at_work(&begun.spell.team, more).iter().flat_map(|span| span.without(&off)).collect();
        self.begun[last].spell.work.extend(work);
    }

    /// The team of the last spell, and from its end to `at`, where that is later.
    pub(super) fn open_end(&self, at: Moment) -> Option<(&[PersonId], Span)> {
        let last = self.begun.iter().max_by_key(|b| b.spell.span().end())?;
        Some((&last.spell.team, Span::new(last.spell.span().end(), at)?))
    }

    fn put(&mut self, work: Vec<Span>, team: Vec<PersonId>, seen: bool) {
        self.begun.push(Begun { spell: Spell { work, task: self.id, part: 0, team }, broken: false, seen });
    }

    /// The breaks that pause a team.
    fn breaks(&self, team: &[PersonId]) -> Vec<Span> {
        if self.task.unmanned() {
            return Vec::new();
        }
        union(team.iter().flat_map(|p| self.whole.parts.people[*p].breaks.iter().copied()).collect())
    }

    /// What is left of work that may stop anywhere.
    fn to_do(&self, at: Moment) -> Minutes {
        let done: Minutes = self.begun.iter().flat_map(|b| b.spell.work.iter()).map(|w| w.length()).sum();
        self.said(at).unwrap_or(self.whole.parts.grid.length(self.left.length) - done + self.undone) + self.more
    }

    /// How long the next spell would be if it ran to its end.
    fn next_length(&self, at: Moment) -> Minutes {
        let grid = self.whole.parts.grid;
        match self.left.stop {
            Stop::Any { .. } => self.to_do(at).max(grid.slot()),
            Stop::Never => grid.length(self.left.length),
            Stop::Parts(_) => {
                let whole = self.begun.iter().filter(|b| !b.broken).count();
                self.lengths().get(whole).map_or(grid.slot(), |l| grid.length(*l))
            }
        }
    }

    /// When those who are at work at `at` stop for the day: with their ordinary hours, or where `told` says otherwise for
    /// that day, then, as much later as it was begun late. No end where they are at it outside all hours.
    fn knocks_off(&self, team: &[PersonId], at: Moment, told: &[&Spell]) -> Moment {
        let day = self.whole.parts.clock.day(at);
        let today: Vec<Span> = told.iter().map(|s| s.span()).filter(|s| self.whole.parts.clock.day(s.start()) == day).collect();
        let mut hours = at;
        for hour in [false, true] {
            let ends = team.iter().map(|p| self.hours_end(*p, at, hour));
            hours = hours.max(ends.min().flatten().unwrap_or(at));
            if hours > at {
                break;
            }
        }
        let meant = today.iter().copied().reduce(Span::hull);
        let end = match meant {
            Some(meant) if meant.start() < at => hours.max(meant.end()).min(meant.end() + (at - meant.start())),
            Some(meant) => hours.max(meant.end()),
            None => hours,
        };
        if end > at { end } else { Moment::FAR_FUTURE }
    }

    /// When the hours of a person end on the day of `at`, overtime included or not.
    fn hours_end(&self, person: PersonId, at: Moment, overtime: bool) -> Option<Moment> {
        let stretches = &self.whole.parts.people[person].stretches;
        let day = self.whole.parts.clock.day(at);
        let mine = stretches.iter().find(|s| s.hull().contains(at)).or_else(|| stretches.iter().find(|s| s.day == day))?;
        let hours = if overtime { mine.hours() } else { mine.ordinary.clone() };
        hours.last().map(|span| span.end())
    }

    /// When a team that was at work before `more` was at work in it, known to be at the end of it: through it, or, where
    /// days lie between, in the ordinary hours that all of them have.
    fn at_work(&self, team: &[PersonId], more: Span) -> Vec<Span> {
        let people = &self.whole.parts.people;
        let mut common = vec![more];
        let mut last = more.start();
        for person in team {
            let stretches = &people[*person].stretches;
            let ordinary: Vec<Span> = stretches.iter().flat_map(|s| s.ordinary.iter().copied()).collect();
            common = common.iter().flat_map(|c| ordinary.iter().filter_map(|o| o.intersection(*c))).collect();
            let begins = stretches.iter().filter_map(|s| s.ordinary.first()).map(|span| span.start());
            last = last.max(begins.filter(|begin| *begin > more.start() && *begin < more.end()).max().unwrap_or(more.start()));
        }
        let before = Span::new(more.start(), last);
        let mut work: Vec<Span> = common.iter().filter_map(|c| c.intersection(before?)).collect();
        work.extend(Span::new(last, more.end()));
        union(work)
    }
}

/// Work of `length` from `at` on, paused by `breaks`, which are in order and apart.
fn laid(at: Moment, length: Minutes, breaks: &[Span]) -> Vec<Span> {
    let mut work = Vec::new();
    let (mut from, mut rest) = (at, length);
    for pause in breaks.iter().filter(|b| b.end() > at) {
        if rest <= Minutes::ZERO || from + rest <= pause.start() {
            break;
        }
        if let Some(piece) = Span::new(from, pause.start()) {
            rest = rest - piece.length();
            work.push(piece);
        }
        from = from.max(pause.end());
    }
    work.extend(Span::of(from, rest));
    work
}

/// What of `work` lies before `end`.
fn until(work: &[Span], end: Moment) -> Vec<Span> {
    work.iter().filter_map(|w| Span::new(w.start(), w.end().min(end))).collect()
}
