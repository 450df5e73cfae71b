//! A problem with one thing changed, to be tried beside it: somebody off the watch, a watch doubled, one more hand.
//!
//! Nothing here is ever applied by itself. Each change gives a new [`Problem`], checked as any other, and the old one
//! stays as it was.

mod crew;
mod leave_out;
mod requirement;
mod up_to;
mod watch;

pub use leave_out::{hangs_on, may_be_left_out};
pub use requirement::{Requirement, fewest, requirements};
pub use up_to::{up_to, waits_for_all};

use thiserror::Error;

use crate::id::{CompetenceId, PersonId, PostId, TaskId, ToolId};
use crate::model::{Defect, Problem};
use crate::time::{Moment, Span};

/// One thing to be changed.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Variant {
    /// A person stands no watch; his turns are open to all others who may stand the post.
    Without(PersonId),
    /// A second person on a post for a while, in turns like the first one's.
    Double(PostId, Span),
    /// A post is no longer manned from here on. Those whose line ends by it work the hours of the day workers.
    Unattended(PostId, Moment),
    /// A post is manned day and night from here on, in three lines open to all who may stand it.
    Manned(PostId, Moment),
    /// One more person who can do what this one can and works the same hours, without watches or duties.
    Another(PersonId),
    /// A person can do one thing more.
    Learns(PersonId, CompetenceId),
    /// One more of a tool.
    Tool(ToolId),
    /// One more evening of overtime for a person, or two hours of it a day where there were none.
    Evening(PersonId),
    /// One hour less unbooked a day in every mode that asks for any.
    LessUnbooked,
    /// A task left out, with what hangs on it.
    LeaveOut(TaskId),
    /// One requirement left out.
    Drop(Requirement),
}

/// Why a change cannot be made.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
#[non_exhaustive]
pub enum Refused {
    /// Nobody else may stand what would be left.
    #[error("nobody else may stand post {0}")]
    NobodyElse(String),
    /// There is nothing to change.
    #[error("there is nothing to change: {0}")]
    Nothing(&'static str),
    /// What comes out does not hang together.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Defects(Vec<Defect>),
}

impl Variant {
    /// The problem with the change made.
    ///
    /// # Errors
    /// Why it cannot be made.
    pub fn apply(self, problem: &Problem) -> Result<Problem, Refused> {
        let mut parts = problem.clone().into_parts();
        match self {
            Self::Without(person) => watch::without(problem, &mut parts, person)?,
            Self::Double(post, span) => watch::double(problem, &mut parts, post, span)?,
            Self::Unattended(post, from) => watch::unattended(problem, &mut parts, post, from)?,
            Self::Manned(post, from) => watch::manned(problem, &mut parts, post, from)?,
            Self::Another(person) => crew::another(&mut parts, person),
            Self::Learns(person, competence) => crew::learns(&mut parts, person, competence)?,
            Self::Tool(tool) => parts.tools[tool].number += 1,
            Self::Evening(person) => crew::evening(&mut parts, person)?,
            Self::LessUnbooked => crew::less_unbooked(&mut parts)?,
            Self::LeaveOut(task) => leave_out::leave_out(problem, &mut parts, task)?,
            Self::Drop(requirement) => requirement::drop(&mut parts, requirement),
        }
        Problem::new(parts).map_err(Refused::Defects)
    }
}
