//! The longest chain of tasks and waits through the calendars of those who could do them.

use crate::calendar::{Because, Earliest, Fit, Hours, People, Windows};
use crate::id::{Id, TaskId};
use crate::model::Problem;
use crate::time::Moment;

/// One task of a chain, as early as it could be done. Between the end of a link and the moment the next is
/// ready lies that task's wait; between ready and start nobody could begin it.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub struct Link {
    /// The task.
    pub task: TaskId,
    /// When what comes before it may be done and waited for.
    pub ready: Moment,
    /// The earliest start of it.
    pub start: Moment,
    /// The earliest end of it.
    pub end: Moment,
}

/// The longest chain: a lower bound on the finish, with what makes it.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Chain {
    /// No legal plan ends earlier; the start of planning where there is no task.
    pub at: Moment,
    /// The tasks of the chain in order, the last one ending at `at`.
    pub links: Vec<Link>,
}

/// Proof that there is no legal plan: a task that does not fit before the latest end, or into its own
/// window, even if it had everybody and everything to itself.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Impossible {
    /// The task.
    pub task: TaskId,
    /// When it could be begun at the earliest, as far as what comes before it goes.
    pub ready: Moment,
    /// What comes before it, as early as can be.
    pub before: Vec<Link>,
}

/// The longest chain through calendars and waits. It holds for every legal plan that keeps to `hours`:
/// every task needs its slots of work, one spell at a time, in slots in which a team of different people who
/// hold what it needs is aboard, in hours, and not on a fixed turn or at a fixed duty; and starts when all it
/// comes after has ended and been waited for.
///
/// # Errors
/// A task that does not fit at all, which proves that there is no legal plan.
pub fn chain(problem: &Problem, hours: Hours) -> Result<Chain, Box<Impossible>> {
    let people = People::new(problem);
    let fit = Fit::new(problem, &people, hours);
    let windows = windows(problem, &fit)?;
    Ok(longest(problem, &fit, &windows))
}

/// Earliest times of all tasks.
pub(super) fn windows(problem: &Problem, fit: &Fit<'_>) -> Result<Windows, Box<Impossible>> {
    Windows::forward(problem, fit).map_err(|stuck| {
        let before = match stuck.because {
            Because::After(task) => trace(fit, task, |t| stuck.before.of(t)),
            Because::Start | Because::NotBefore => Vec::new(),
        };
        Box::new(Impossible { task: stuck.task, ready: fit.moment(stuck.ready), before })
    })
}

/// The chain that ends last, ties to the lower id.
pub(super) fn longest(problem: &Problem, fit: &Fit<'_>, windows: &Windows) -> Chain {
    let last = problem.tasks.ids().max_by_key(|t| (windows.of(*t).end, std::cmp::Reverse(t.index())));
    let links = last.map_or_else(Vec::new, |task| trace(fit, task, |t| windows.of(t)));
    Chain { at: fit.moment(windows.finish()), links }
}

/// The tasks that hold `last`, in order, `last` included.
fn trace(fit: &Fit<'_>, last: TaskId, of: impl Fn(TaskId) -> Earliest) -> Vec<Link> {
    let mut links = Vec::new();
    let mut task = Some(last);
    while let Some(id) = task {
        let earliest = of(id);
        links.push(Link { task: id, ready: fit.moment(earliest.ready), start: fit.moment(earliest.start), end: fit.moment(earliest.end) });
        task = match earliest.because {
            Because::After(before) => Some(before),
            Because::Start | Because::NotBefore => None,
        };
    }
    links.reverse();
    links
}
