//! What a plan can do wrong, named exactly: which clause of which rule, who or what, when, by how much.

use crate::clock::Day;
use crate::id::{CompetenceId, DutyId, PersonId, PostId, TagId, TaskId, ToolId, TurnId};
use crate::model::RecordKind;
use crate::rest::Finding;
use crate::time::{Minutes, Span};

/// One breach of one clause of a hard rule. What is not to the point is `None`.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Breach {
    /// The clause that is broken.
    pub clause: Clause,
    /// Who breaks it, or whom it happens to.
    pub person: Option<PersonId>,
    /// What breaks it.
    pub thing: Option<Thing>,
    /// What it breaks it against: the other work, the predecessor, the competence, the tag.
    pub other: Option<Thing>,
    /// When: the stretch in which the rule is broken, not more.
    pub window: Option<Span>,
    /// By how much.
    pub numbers: Option<Numbers>,
}

/// What was found and what the rule asks for.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub struct Numbers {
    /// What the plan has.
    pub found: Amount,
    /// The least or the most it may have, whichever the clause sets.
    pub required: Amount,
}

/// A number with its unit.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Amount {
    /// So many people, spells, tools, evenings.
    Count(usize),
    /// So much time.
    Time(Minutes),
}

/// Something a breach is about.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Thing {
    /// A task.
    Task(TaskId),
    /// A turn on a post.
    Turn(TurnId),
    /// An occurrence of a duty.
    Duty(DutyId),
    /// Time on hand.
    OnHand,
    /// Recorded work that reaches past the start of planning.
    Recorded(RecordKind),
    /// A post.
    Post(PostId),
    /// A tool.
    Tool(ToolId),
    /// A competence.
    Competence(CompetenceId),
    /// A tag.
    Tag(TagId),
    /// A ship's day.
    Day(Day),
    /// A row of the plan that cannot be read, by its position.
    Row(usize),
}

/// The clauses of the hard rules, in the order of the rules. Rule 3 is counted by rule set.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Clause {
    /// Rule 1: a person does two things at a time.
    TwoThings,
    /// Rule 1: a person works while away.
    Away,
    /// Rule 2: a post is not manned.
    Unmanned,
    /// Rule 2: somebody stands a turn that is not his to stand.
    MayNotStand,
    /// Rule 2: the plan names turns the job does not have.
    UnknownTurn,
    /// Rule 3: a rest rule, by its position in the person's rule set.
    Rest(usize),
    /// Rule 4: a part, or a task that may not stop, was under way and does not go on at once with its team.
    NotGoingOn,
    /// Rule 4: the plan names a task the job does not have.
    UnknownTask,
    /// Rule 4: a team has somebody who is not in the crew.
    UnknownPerson,
    /// Rule 4: a spell has no work, or its pieces are not in time order and apart.
    BrokenSpell,
    /// Rule 4: a task is not done at all.
    NotDone,
    /// Rule 4: a team has too few or too many people.
    TeamSize,
    /// Rule 4: one person fills two positions of a team.
    TeamRepeats,
    /// Rule 4: a person lacks the competence of his position.
    Unable,
    /// Rule 4: a spell does not sit on the slot grid.
    OffGrid,
    /// Rule 4: a spell does not lie in one working stretch of a member of its team.
    NotOneStretch,
    /// Rule 4: a task that may not stop, or not so often, has the wrong number of spells.
    SpellCount,
    /// Rule 4: the parts of a task are not numbered one after another from the first.
    PartNumber,
    /// Rule 4: a part is too short or too long.
    PartLength,
    /// Rule 4: a part starts before the part before it has ended.
    PartOrder,
    /// Rule 4: a task is done for too short or too long in all.
    WrongLength,
    /// Rule 4: a spell that is not the last is too short.
    ShortSpell,
    /// Rule 4: two spells of one task at a time.
    SpellsOverlap,
    /// Rule 4: work over a named break of a member of the team.
    OverBreak,
    /// Rule 4: a pause in a task that may not pause.
    PauseForbidden,
    /// Rule 4: a pause that is not exactly the named breaks of the team.
    PauseNotBreak,
    /// Rule 4: the pauses of a spell are too long.
    PauseTooLong,
    /// Rule 5: a task starts before what it comes after has ended, the wait included.
    TooSoon,
    /// Rule 5: a task starts before its own earliest moment.
    NotBefore,
    /// Rule 5: a task ends after its own latest moment.
    NotAfter,
    /// Rule 5: something lies before the start or after the latest end of the plan.
    OutsidePlan,
    /// Rule 5: a task without people runs in more than one piece.
    RunsInPieces,
    /// Rule 5: a task without people runs while the post that attends it is not manned.
    Unattended,
    /// Rule 5: a post attends too many tasks at once.
    TooManyAttended,
    /// Rule 5: the plan does not place a duty.
    DutyNotPlaced,
    /// Rule 5: a fixed duty is not at its time.
    DutyMoved,
    /// Rule 5: a movable duty lies outside its window.
    DutyOutsideWindow,
    /// Rule 5: a movable duty does not start on the slot grid.
    DutyOffGrid,
    /// Rule 5: the plan names duties the job does not have.
    UnknownDuty,
    /// Rule 6: more of a tool is held than there is.
    ToolOverbooked,
    /// Rule 6: a tool is held while it cannot be had.
    ToolAway,
    /// Rule 6: a task runs while one of its tags is banned.
    Banned,
    /// Rule 7: a position changes hands that one person must fill throughout.
    NotSame,
    /// Rule 7: a person is barred from a position by what he did on another task.
    NotDifferent,
    /// Rule 7: a task does not start at the time decided for it.
    NotAtItsTime,
    /// Rule 7: somebody else fills a position for which a person was decided.
    NotWhoWasPut,
    /// Rule 7: somebody fills a position he was to be kept off.
    KeptOff,
    /// Rule 8: work on a task outside ordinary hours and overtime.
    OutsideHours,
    /// Rule 8: more job time in a ship's day than the person's cap.
    OverCap,
    /// Rule 8: more ship's days with overtime than the person's limit.
    TooManyEvenings,
    /// Rule 8: time on hand outside the ordinary hours of one working stretch.
    OnHandOutside,
    /// Rule 8: stretches of time on hand of one person overlap.
    OnHandTwice,
    /// Rule 8: time on hand of somebody who is not in the crew.
    OnHandUnknown,
}

impl Clause {
    /// All clauses but the rest rules, in order.
    pub const NAMED: [Self; 52] = [
        Self::TwoThings,
        Self::Away,
        Self::Unmanned,
        Self::MayNotStand,
        Self::UnknownTurn,
        Self::NotGoingOn,
        Self::UnknownTask,
        Self::UnknownPerson,
        Self::BrokenSpell,
        Self::NotDone,
        Self::TeamSize,
        Self::TeamRepeats,
        Self::Unable,
        Self::OffGrid,
        Self::NotOneStretch,
        Self::SpellCount,
        Self::PartNumber,
        Self::PartLength,
        Self::PartOrder,
        Self::WrongLength,
        Self::ShortSpell,
        Self::SpellsOverlap,
        Self::OverBreak,
        Self::PauseForbidden,
        Self::PauseNotBreak,
        Self::PauseTooLong,
        Self::TooSoon,
        Self::NotBefore,
        Self::NotAfter,
        Self::OutsidePlan,
        Self::RunsInPieces,
        Self::Unattended,
        Self::TooManyAttended,
        Self::DutyNotPlaced,
        Self::DutyMoved,
        Self::DutyOutsideWindow,
        Self::DutyOffGrid,
        Self::UnknownDuty,
        Self::ToolOverbooked,
        Self::ToolAway,
        Self::Banned,
        Self::NotSame,
        Self::NotDifferent,
        Self::NotAtItsTime,
        Self::NotWhoWasPut,
        Self::KeptOff,
        Self::OutsideHours,
        Self::OverCap,
        Self::TooManyEvenings,
        Self::OnHandOutside,
        Self::OnHandTwice,
        Self::OnHandUnknown,
    ];

    /// The hard rule it belongs to, 1 to 8.
    #[must_use]
    pub const fn rule(self) -> u8 {
        match self {
            Self::TwoThings | Self::Away => 1,
            Self::Unmanned | Self::MayNotStand | Self::UnknownTurn => 2,
            Self::Rest(_) => 3,
            Self::NotGoingOn
            | Self::UnknownTask
            | Self::UnknownPerson
            | Self::BrokenSpell
            | Self::NotDone
            | Self::TeamSize
            | Self::TeamRepeats
            | Self::Unable
            | Self::OffGrid
            | Self::NotOneStretch
            | Self::SpellCount
            | Self::PartNumber
            | Self::PartLength
            | Self::PartOrder
            | Self::WrongLength
            | Self::ShortSpell
            | Self::SpellsOverlap
            | Self::OverBreak
            | Self::PauseForbidden
            | Self::PauseNotBreak
            | Self::PauseTooLong => 4,
            Self::TooSoon
            | Self::NotBefore
            | Self::NotAfter
            | Self::OutsidePlan
            | Self::RunsInPieces
            | Self::Unattended
            | Self::TooManyAttended
            | Self::DutyNotPlaced
            | Self::DutyMoved
            | Self::DutyOutsideWindow
            | Self::DutyOffGrid
            | Self::UnknownDuty => 5,
            Self::ToolOverbooked | Self::ToolAway | Self::Banned => 6,
            Self::NotSame | Self::NotDifferent | Self::NotAtItsTime | Self::NotWhoWasPut | Self::KeptOff => 7,
            Self::OutsideHours | Self::OverCap | Self::TooManyEvenings | Self::OnHandOutside | Self::OnHandTwice | Self::OnHandUnknown => 8,
        }
    }
}

impl Breach {
    /// A breach of `clause` with nothing said about it yet.
    #[must_use]
    pub const fn new(clause: Clause) -> Self {
        Self { clause, person: None, thing: None, other: None, window: None, numbers: None }
    }

    /// A rest finding that counts against the plan.
    #[must_use]
    pub const fn rest(person: PersonId, finding: &Finding) -> Self {
        Self::new(Clause::Rest(finding.rule)).by(person).during(finding.window).time(finding.found, finding.required)
    }

    /// The hard rule that is broken, 1 to 8.
    #[must_use]
    pub const fn rule(&self) -> u8 {
        self.clause.rule()
    }

    /// The same breach by `person`.
    #[must_use]
    pub const fn by(mut self, person: PersonId) -> Self {
        self.person = Some(person);
        self
    }

    /// The same breach by or of `thing`.
    #[must_use]
    pub const fn of(mut self, thing: Thing) -> Self {
        self.thing = Some(thing);
        self
    }

    /// The same breach against `other`.
    #[must_use]
    pub const fn against(mut self, other: Thing) -> Self {
        self.other = Some(other);
        self
    }

    /// The same breach in `window`.
    #[must_use]
    pub const fn during(mut self, window: Span) -> Self {
        self.window = Some(window);
        self
    }

    /// The same breach with numbers of things.
    #[must_use]
    pub const fn count(mut self, found: usize, required: usize) -> Self {
        self.numbers = Some(Numbers { found: Amount::Count(found), required: Amount::Count(required) });
        self
    }

    /// The same breach with lengths of time.
    #[must_use]
    pub const fn time(mut self, found: Minutes, required: Minutes) -> Self {
        self.numbers = Some(Numbers { found: Amount::Time(found), required: Amount::Time(required) });
        self
    }
}
