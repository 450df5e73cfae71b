//! What was written down while the job ran: progress, events, notes.

use crate::id::{CompetenceId, MilestoneId, ModeId, PersonId, TaskId, ToolId, UnitId};
use crate::model::{Duty, Hold, Milestone, Task};
use crate::time::{Minutes, Moment};

/// The log of a job, in the order in which it was written.
///
/// Tasks it adds have the ids that follow those of the job's own tasks, in the order of [`Log::tasks`], and the
/// job's own tasks never refer to them.
#[derive(Clone, PartialEq, Eq, Debug, Default)]
pub struct Log {
    /// The entries, as they stand in the file; not by time.
    pub entries: Vec<Entry>,
    /// Tasks the entries add, each with the position of its entry.
    pub tasks: Vec<(usize, Task)>,
    /// Tools that added tasks hold through waits, each with the position of the entry.
    pub holds: Vec<(usize, Hold)>,
    /// Duties the entries add, each with the position of its entry.
    pub duties: Vec<(usize, Duty)>,
    /// Milestones the entries add, each with the position of its entry; their ids follow those of the job's own.
    pub milestones: Vec<(usize, Milestone)>,
    /// What comes after an added task: that task, then the one that comes after it.
    pub before: Vec<(TaskId, TaskId)>,
}

impl Log {
    /// Whether the entry at `position` adds anything to the job.
    #[must_use]
    pub fn adds(&self, position: usize) -> bool {
        let by = |entry: &usize| *entry == position;
        let tasks = self.tasks.iter().map(|(entry, _)| entry);
        let rest = self.duties.iter().map(|(entry, _)| entry).chain(self.milestones.iter().map(|(entry, _)| entry));
        tasks.chain(rest).any(by)
    }
}

/// One entry.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Entry {
    /// When it happened.
    pub at: Moment,
    /// From when on it holds, where that is not when it was said.
    pub from: Option<Moment>,
    /// What happened.
    pub event: Event,
    /// In the words of who wrote it; may be empty.
    pub note: String,
}

/// What an entry says.
#[derive(Clone, PartialEq, Eq, Debug)]
pub enum Event {
    /// Work on a task began; by these people in the order of its needs, or by those who were told, if empty.
    Started(TaskId, Vec<PersonId>),
    /// Work on a task was broken off.
    Stopped(TaskId),
    /// A task is done.
    Done(TaskId),
    /// So much of a task is still to do.
    ToGo(TaskId, Minutes),
    /// A task will not be done.
    Dropped(TaskId),
    /// A finding adds so much to a task.
    Found(TaskId, Minutes),
    /// A machine is out: until then, or until it is handed back.
    Out(UnitId, Option<Moment>),
    /// A machine is able again.
    Back(UnitId),
    /// Somebody can do no work at all: until then, or until an entry says that he is fit.
    Unfit(PersonId, Option<Moment>),
    /// Somebody cannot do some things: until then, or until an entry says that he is fit.
    Limited(PersonId, Vec<CompetenceId>, Option<Moment>),
    /// Somebody is fit for everything again.
    Fit(PersonId),
    /// A tool is broken or lent: until then, or until it is returned.
    Gone(ToolId, Option<Moment>),
    /// A tool can be had again.
    Returned(ToolId),
    /// Somebody was called out until then.
    Call(PersonId, Moment),
    /// An occurrence of a duty begins then instead; named by code and number of the repeat.
    Moved(String, u32, Moment),
    /// A milestone is due then instead.
    Due(MilestoneId, Moment),
    /// The ship is in another mode: until then, or until the next change that was known.
    Mode(ModeId, Option<Moment>),
    /// Nothing but what it adds: tasks, duties, or words for the hand-over.
    Note,
}
