//! Open turns, put together to what one person stands on one ship's day.

use std::collections::{BTreeMap, BTreeSet};

use crate::clock::Day;
use crate::id::{PersonId, PostId, TurnId};
use crate::model::{Problem, Stand};
use crate::time::{Minutes, Span};

/// What costs are counted in: thousandths of a minute of ordinary time on the job.
pub(super) const MINUTE: i64 = 1000;
/// A line taken over from somebody else: as dear as four hours of the job.
pub(super) const CHANGE: i64 = 240 * MINUTE;
/// The same rota two days running.
pub(super) const AGAIN: i64 = 60 * MINUTE;
/// A minute of night watch, or of a rota, over an even share.
pub(super) const UNEVEN: i64 = MINUTE / 20;
/// How much more a minute costs that is over the share by more than a whole watch, as a multiple: small enough that
/// nobody changes lines for a fairer week, large enough that a rota goes about.
pub(super) const FAR: i64 = 1;
/// A minute that nobody stands; nothing else comes near it.
pub(super) const HOLE: i64 = 1000 * MINUTE;

/// Lines of at most, or of at least, so long a day are a rota: nobody is put on them for good.
const ROUND: Minutes = Minutes::hours(2);
const WHOLE_DAY: Minutes = Minutes::hours(16);

/// Whether a line of so long a day is a rota.
pub(super) fn is_rota(length: Minutes) -> bool {
    length <= ROUND || length >= WHOLE_DAY
}

/// One open turn.
#[derive(Clone, Debug)]
pub(super) struct Open {
    pub(super) id: TurnId,
    /// From the start of planning on.
    pub(super) span: Span,
    pub(super) people: Vec<PersonId>,
    /// Minutes of it between 00:00 and 06:00 by ship's clock.
    pub(super) night: i64,
}

impl Open {
    /// What it costs to leave it to nobody.
    pub(super) fn hole(&self) -> i64 {
        i64::from(self.span.length().get()) * HOLE
    }
}

/// A line through the days: turns of one post that people call by one name.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub(super) struct Key {
    pub(super) post: PostId,
    pub(super) line: String,
    /// Where the line has no name: minute of the day at which the turn starts.
    minute: i32,
}

/// What one person stands of a line on one day.
#[derive(Clone, Debug)]
pub(super) struct Unit {
    /// Which line.
    pub(super) series: usize,
    /// Positions in the open turns.
    pub(super) turns: Vec<usize>,
    /// Whether nobody is put on it for good.
    pub(super) rota: bool,
    /// What it adds to a person's share: night minutes, or all minutes of a rota.
    pub(super) load: i64,
}

/// A ship's day with open turns.
#[derive(Clone, Debug)]
pub(super) struct Row {
    pub(super) day: Day,
    /// Positions in the units, in order of their first turn.
    pub(super) units: Vec<usize>,
}

/// Positions of open turns by line, those told apart by themselves.
type Groups = BTreeMap<(Key, Option<TurnId>), Vec<usize>>;

/// All open turns, sorted out.
#[derive(Clone, Debug, Default)]
pub(super) struct Layout {
    /// In order of start, then id.
    pub(super) open: Vec<Open>,
    pub(super) units: Vec<Unit>,
    /// In order of day.
    pub(super) rows: Vec<Row>,
    /// What each series is.
    pub(super) series: Vec<Key>,
}

/// Turns that are not put together with others of their line.
pub(super) type Parted = BTreeSet<TurnId>;

impl Layout {
    /// The open turns that start inside `time`. Turns in `parted` are units of their own; all others are put
    /// together by line and day.
    pub(super) fn new(problem: &Problem, time: Span, parted: &Parted) -> Self {
        let mut open: Vec<Open> = problem.turns.pairs().filter_map(|(id, _)| open_turn(problem, id)).collect();
        open.retain(|o| time.contains(o.span.start()));
        open.sort_by_key(|o| (o.span, o.id));
        let mut by_day: BTreeMap<Day, Groups> = BTreeMap::new();
        let mut series: BTreeMap<Key, usize> = BTreeMap::new();
        for (i, turn) in open.iter().enumerate() {
            let row = &problem.turns[turn.id];
            let day = problem.clock.day(turn.span.start());
            let minute = if row.line.is_empty() { problem.clock.minute_of_day(row.span.start()).get() } else { 0 };
            let key = Key { post: row.post, line: row.line.clone(), minute };
            let number = series.len();
            series.entry(key.clone()).or_insert(number);
            by_day.entry(day).or_default().entry((key, parted.get(&turn.id).copied())).or_default().push(i);
        }
        let mut keys: Vec<(usize, Key)> = series.iter().map(|(key, number)| (*number, key.clone())).collect();
        keys.sort_unstable();
        let mut layout = Self { open, series: keys.into_iter().map(|(_, key)| key).collect(), ..Self::default() };
        for (day, groups) in by_day {
            let mut row = Row { day, units: Vec::new() };
            for ((key, _), turns) in groups {
                row.units.push(layout.units.len());
                let unit = layout.unit(series[&key], turns);
                layout.units.push(unit);
            }
            row.units.sort_by_key(|u| layout.units[*u].turns[0]);
            layout.rows.push(row);
        }
        layout
    }

    fn unit(&self, series: usize, turns: Vec<usize>) -> Unit {
        let length: Minutes = turns.iter().map(|t| self.open[*t].span.length()).sum();
        let rota = is_rota(length);
        let night: i64 = turns.iter().map(|t| self.open[*t].night).sum();
        let load = if rota { i64::from(length.get()) } else { night };
        Unit { series, turns, rota, load }
    }

    /// Who may stand all turns of a unit, in id order.
    pub(super) fn candidates(&self, unit: usize) -> Vec<PersonId> {
        let turns = &self.units[unit].turns;
        let first = self.open[turns[0]].people.iter().copied();
        first.filter(|p| turns.iter().all(|t| self.open[*t].people.contains(p))).collect()
    }
}

/// A turn of the problem, if it is open to more than one person or nobody is named for it.
fn open_turn(problem: &Problem, id: TurnId) -> Option<Open> {
    let turn = &problem.turns[id];
    let Stand::Open(people) = &turn.stand else { return None };
    let span = Span::new(turn.span.start().max(problem.start), turn.span.end())?;
    Some(Open { id, span, people: people.clone(), night: night(problem, span) })
}

/// Minutes of `span` between 00:00 and 06:00 by ship's clock.
pub(super) fn night(problem: &Problem, span: Span) -> i64 {
    let (first, last) = (problem.clock.day(span.start()).number(), problem.clock.day(span.end()).number());
    let nights = (first..=last).map(Day::new).filter_map(|day| {
        let night = Span::new(problem.clock.at(day, Minutes::ZERO), problem.clock.at(day, Minutes::hours(6)))?;
        night.intersection(span)
    });
    nights.map(|s| i64::from(s.length().get())).sum()
}
