//! How work goes on that the log says was begun: as it was told, begun then and no faster, and not past the hours of those
//! who are at it.

use crate::id::PersonId;
use crate::model::Stop;
use crate::plan::Spell;
use crate::replan::Standing;
use crate::replan::run::{Begun, Run};
use crate::time::{Minutes, Moment, Span, union};

impl Run<'_> {
    /// A spell begins at `at`, by `by` or by those who were told, and goes on; what was told to follow it before `start`
    /// follows it.
    pub(super) fn started(&mut self, at: Moment, by: &[PersonId], standing: &Standing, start: Moment) {
        let own = standing.tasks.find(|t| *t == self.id);
        let mut told: Vec<&Spell> = standing.plan.spells.iter().filter(|s| Some(s.task) == own).collect();
        told.sort_by_key(|s| s.span());
        let next = self.begun.iter().filter(|b| b.spell.span().end() <= at).count();
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
        self.left.state = crate::replan::State::Open;
        self.left.begun = true;
        for spell in told.iter().skip(next + 1) {
            let team = if meant.as_ref() == Some(&spell.team) { &team } else { &spell.team };
            self.follows(spell, team, &told, start);
        }
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
            Stop::Any { .. } => self.next_length(from).min(told.work.iter().map(|w| w.length()).sum()),
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

    /// How long the next spell would be if it ran to its end.
    fn next_length(&self, at: Moment) -> Minutes {
        let grid = self.whole.parts.grid;
        match self.left.stop {
            Stop::Any { .. } => {
                let done: Minutes = self.begun.iter().flat_map(|b| b.spell.work.iter()).map(|w| w.length()).sum();
                let rest = self.said(at).unwrap_or(grid.length(self.left.length) - done);
                (rest + self.more).max(grid.slot())
            }
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
