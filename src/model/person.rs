//! People: what they can do, and when they are there to do it.

use crate::clock::Day;
use crate::id::{CompetenceId, RuleSetId};
use crate::time::{Minutes, Moment, Span};

/// A member of the crew, or a shore worker.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Person {
    /// Short code, unique (`2E`).
    pub code: String,
    /// Name as written on the day sheet.
    pub name: String,
    /// Rank or role.
    pub role: String,
    /// What the person can do; sorted, no repeats.
    pub competences: Vec<CompetenceId>,
    /// The working stretches of each ship's day, laid out to the end of the layout; in time order, apart.
    pub stretches: Vec<Stretch>,
    /// Named breaks, laid out; in time order, apart. A gap between two pieces of work that lies inside
    /// one of these is neither work nor rest.
    pub breaks: Vec<Span>,
    /// Most job time in one ship's day, overtime included; `None` where there is no cap.
    pub job_cap: Option<Minutes>,
    /// Most ship's days of the job with any overtime; `None` where there is no such limit.
    pub evenings: Option<u32>,
    /// The rest rules the person is under.
    pub rest: RuleSetId,
    /// When the person is not aboard; in time order, apart.
    pub away: Vec<Span>,
    /// Work recorded before planning begins; in time order.
    pub recorded: Vec<Recorded>,
    /// Recorded time on call, calls or not; in time order. Where the person's rules read it as work, it stands among the
    /// recorded work too.
    pub on_call: Vec<Span>,
    /// From when on the record is complete; before it, time is unknown. `None`: nothing is known.
    pub recorded_from: Option<Moment>,
    /// What the person answers for (`permits`, `bunkers`), printed and nothing more.
    pub answers_for: Vec<String>,
    /// What the day on which planning begins has seen of the person before that moment.
    pub before: Before,
}

/// The part of a ship's day that lies before planning begins, as far as limits of the whole day ask for it.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Before {
    /// Job time of that ship's day, overtime included; counts towards `job_cap`.
    pub worked: Minutes,
    /// How much of it was overtime; where there was any, the day is one of the person's evenings already and is
    /// not among those that `evenings` still allows.
    pub overtime: Minutes,
    /// Time at work or on hand in the working stretch that was begun and has ordinary or overtime hours left: work
    /// later in that stretch makes the time between them on hand.
    pub hull: Option<Span>,
}

impl Person {
    /// Whether the person holds `competence`.
    #[must_use]
    pub fn holds(&self, competence: CompetenceId) -> bool {
        self.competences.binary_search(&competence).is_ok()
    }

    /// Whether the person is aboard for the whole of `span`.
    #[must_use]
    pub fn aboard(&self, span: Span) -> bool {
        !self.away.iter().any(|a| a.overlaps(span))
    }

    /// From when on everything the person did is known, where a plan begins at `start`: from the beginning of the record or of
    /// the plan, whichever is first. Of who is not aboard then, and whose record does not reach back so far, the plan knows
    /// nothing before the record begins or the person comes aboard.
    #[must_use]
    pub fn known_from(&self, start: Moment) -> Moment {
        let aboard = self.away.iter().find(|away| away.contains(start)).map_or(start, |away| away.end());
        self.recorded_from.map_or(aboard, |from| from.min(aboard))
    }

    /// What of the recorded work lies after `start`, in time order: a call that is not over when planning begins, a row
    /// written in advance.
    pub fn recorded_after(&self, start: Moment) -> impl Iterator<Item = (RecordKind, Span)> + '_ {
        self.recorded.iter().filter_map(move |r| Some((r.kind, Span::new(r.span.start().max(start), r.span.end())?)))
    }

    /// When recorded work after `start` keeps the person from tasks; in time order.
    pub fn taken_after(&self, start: Moment) -> impl Iterator<Item = Span> + '_ {
        self.recorded_after(start).filter(|(kind, _)| kind.keeps_from_tasks()).map(|(_, span)| span)
    }

    /// When a call-out that is recorded reaches past `start`; in time order.
    pub fn called_after(&self, start: Moment) -> impl Iterator<Item = Span> + '_ {
        self.recorded_after(start).filter(|(kind, _)| kind.keeps_from_all()).map(|(_, span)| span)
    }
}

/// A person's ordinary and overtime hours of one ship's day, joined across named breaks.
///
/// Within a stretch, the time between the first and the last piece of work is never rest. A stretch
/// belongs to the ship's day in which it starts. Ordinary and overtime pieces do not overlap.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Stretch {
    /// The ship's day it belongs to.
    pub day: Day,
    /// Ordinary hours, in time order; touching pieces are joined. None where it is overtime alone.
    pub ordinary: Vec<Span>,
    /// Overtime allowed before, after or between them, in time order.
    pub overtime: Vec<Span>,
}

impl Stretch {
    /// From the first ordinary or overtime minute to the last.
    ///
    /// # Panics
    /// If the stretch has no hours, which [`crate::model::Problem::new`] rules out.
    #[must_use]
    pub fn hull(&self) -> Span {
        let mut pieces = self.ordinary.iter().chain(&self.overtime).copied();
        let first = pieces.next().expect("a stretch has hours");
        pieces.fold(first, Span::hull)
    }

    /// All its hours, ordinary and overtime, sorted and joined where they touch.
    #[must_use]
    pub fn hours(&self) -> Vec<Span> {
        crate::time::union(self.ordinary.iter().chain(&self.overtime).copied().collect())
    }
}

/// A stretch of work found in the record.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Recorded {
    /// From when to when.
    pub span: Span,
    /// What it was.
    pub kind: RecordKind,
    /// Free text of the record.
    pub note: String,
}

/// What a recorded stretch was. Every kind is work to the rest rules, as far as it stands among the recorded work.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum RecordKind {
    /// A watch.
    Watch,
    /// A task of the job.
    Task,
    /// A duty, or ordinary day work.
    Duty,
    /// A call-out.
    Call,
    /// A drill or muster.
    Drill,
    /// Work for the immediate safety of the ship, of people or of cargo, or to help others in distress (STCW
    /// Code A-VIII/1 paragraph 8); the note gives the reason. Never planned work that runs late.
    Emergency,
    /// On call without a call, where the rules are read so that this is work.
    OnCall,
}

impl RecordKind {
    /// Whether who does this has time for nothing else, where it reaches past the start of planning. Other kinds are
    /// what plans are made of, so that a row of them is the turn or the duty that is planned and no second thing.
    #[must_use]
    pub const fn keeps_from_all(self) -> bool {
        match self {
            Self::Call | Self::Emergency => true,
            Self::Watch | Self::Task | Self::Duty | Self::Drill | Self::OnCall => false,
        }
    }

    /// Whether who does this can be at no task meanwhile. A row of work on tasks is the work that is planned, and who is on
    /// call may work.
    #[must_use]
    pub const fn keeps_from_tasks(self) -> bool {
        match self {
            Self::Watch | Self::Duty | Self::Drill | Self::Call | Self::Emergency => true,
            Self::Task | Self::OnCall => false,
        }
    }
}
