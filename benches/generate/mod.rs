//! Overhaul jobs by seed, up to 25 people, 240 tasks and 21 days: invented, but of the kind a ship's crew
//! has. Three watches or an unattended space, day workers with lunch, talks, drills, bunkering with a cover,
//! single tools, soaks that hold a tank over night, all stop codes, a reserve, machines that must stay able.
//!
//! The same size and seed give the same job.

mod crew;
mod profiles;
mod ship;
mod work;

use chrono::NaiveDate;
use turnto::clock::{ClockChange, Day, ShipClock};
use turnto::id::{CompetenceId, IdVec};
use turnto::model::{Aim, Named, Parts, Problem, Tag};
use turnto::rest::RuleSet;
use turnto::rng::Stream;
use turnto::time::{Grid, Minutes, Moment, Span};

/// How large a job is.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) struct Size {
    /// At least 4.
    pub(crate) people: usize,
    /// At least 12.
    pub(crate) tasks: usize,
    /// Days up to the first planning end; at least 4.
    pub(crate) days: i32,
}

/// Everything the parts of a job are made from.
struct Draft {
    size: Size,
    random: Stream,
    clock: ShipClock,
    grid: Grid,
    start: Moment,
    end: Moment,
    latest_end: Moment,
    layout_end: Moment,
}

/// How the engine room is watched.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Watchkeeping {
    /// Nobody: the space is unattended, everybody is on day work.
    None,
    /// Three engineers, four hours on and eight off.
    Engineers,
    /// Three engineers and three ratings.
    Pairs,
}

impl Draft {
    fn watchkeeping(&self) -> Watchkeeping {
        match self.size.people {
            ..7 => Watchkeeping::None,
            7..10 => Watchkeeping::Engineers,
            10.. => Watchkeeping::Pairs,
        }
    }

    /// The moment at which a day shows `minute`.
    fn at(&self, day: i32, minute: i32) -> Moment {
        self.clock.at(Day::new(day), Minutes::new(minute))
    }

    /// A stretch of one day between two times of the clock, `None` where it is empty.
    fn hours(&self, day: i32, from: i32, to: i32) -> Option<Span> {
        Span::new(self.at(day, from), self.at(day, to))
    }

    /// The last day any calendar is laid out for.
    fn last_day(&self) -> i32 {
        self.clock.day(self.layout_end - Minutes::new(1)).number()
    }
}

/// The job of that size and seed.
///
/// # Panics
/// If the parts do not hang together, which would be a fault of this generator.
pub(crate) fn job(size: Size, seed: u64) -> Problem {
    let mut random = Stream::new(seed, 4_000 + size.tasks as u64);
    let day = |n: i32| Moment::new((n - 1) * 24 * 60);
    // One job in four meets a change of the ship's clock, an hour either way at 02:00.
    let changes = match random.below(8) {
        0 => vec![ClockChange { at: day(3) + Minutes::hours(2), offset: Minutes::hours(4) }],
        1 => vec![ClockChange { at: day(4) + Minutes::hours(2), offset: Minutes::hours(2) }],
        _ => Vec::new(),
    };
    let date = NaiveDate::from_ymd_opt(2027, 3, 1).expect("a date of the calendar");
    let clock = ShipClock::new(date, Minutes::hours(3), changes).expect("offsets of less than a day");
    let midnight = |n: i32| clock.at(Day::new(n), Minutes::ZERO);
    // The plan may grow to three times its days, as in a job folder.
    let (end, latest_end, layout_end) = (midnight(size.days + 1), midnight(size.days * 3 + 1), midnight(size.days * 3 + 9));
    let layout_end = layout_end.max(latest_end + Minutes::hours(8 * 24));
    let start = clock.at(Day::new(1), Minutes::hours(8));
    let grid = Grid::new(Minutes::new(30)).expect("half an hour is a slot");
    let mut draft = Draft { size, random, clock, grid, start, end, latest_end, layout_end };

    let people = crew::people(&mut draft);
    let (posts, turns) = ship::watches(&draft, &people);
    let duties = ship::duties(&draft, &people);
    let machinery = ship::machinery(&draft, &people);
    let work = work::tasks(&mut draft, &people, &machinery);
    let parts = Parts {
        ship: "Generated".to_owned(),
        title: format!("{} tasks, {} people, {} days, seed {seed}", size.tasks, size.people, size.days),
        clock: draft.clock.clone(),
        grid,
        start: draft.start,
        end: draft.end,
        latest_end: draft.latest_end,
        layout_end: draft.layout_end,
        competences: profiles::COMPETENCES.iter().map(|c| named(c)).collect(),
        rule_sets: IdVec::from(vec![RuleSet::stcw_mlc_rest()]),
        people,
        posts,
        turns,
        duties,
        phases: profiles::PHASES.iter().map(|p| named(p)).collect(),
        tags: profiles::TAGS.iter().map(|t| Tag { code: (*t).to_owned(), caution: String::new() }).collect(),
        tasks: work.tasks,
        tools: work.tools,
        holds: work.holds,
        bans: work.bans,
        units: machinery.units,
        groups: machinery.groups,
        never_together: machinery.never_together,
        modes: machinery.modes,
        mode_spans: machinery.mode_spans,
        milestones: work.milestones,
        aims: Aim::DEFAULT.to_vec(),
        told: None,
    };
    Problem::new(parts).unwrap_or_else(|defects| panic!("a generated job hangs together: {defects:?}"))
}

fn named(code: &str) -> Named {
    Named { code: code.to_owned(), name: String::new() }
}

/// The id of a competence of [`profiles::COMPETENCES`].
fn competence(code: &str) -> CompetenceId {
    use turnto::id::Id;
    let at = profiles::COMPETENCES.iter().position(|c| *c == code);
    CompetenceId::from_index(at.unwrap_or_else(|| panic!("{code} is a competence")))
}
