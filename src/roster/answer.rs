//! What comes of rostering.

use crate::id::{IdVec, PersonId, PostId, TurnId};
use crate::model::{Problem, Stand};
use crate::roster::hole::Hole;
use crate::time::{Minutes, Span};

/// What a roster costs, part by part.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default, Debug)]
pub struct Costs {
    /// Time of turns that nobody stands.
    pub uncovered: Minutes,
    /// Ordinary time that cannot be worked on the job for the watches, weighed by how much each person is wanted.
    pub lost: Minutes,
    /// Lines taken over from somebody else from one day to the next.
    pub changes: u32,
    /// The same rota two days running.
    pub running: u32,
    /// Night watch, and time on a rota, over an even share.
    pub uneven: Minutes,
}

/// Who stands what.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Roster {
    /// Who stands each turn of the problem, fixed ones included; `None` for a hole.
    pub stands: IdVec<TurnId, Option<PersonId>>,
    /// What it costs over the time up to the end of the job.
    pub costs: Costs,
    /// The same as one number, in thousandths of a minute of ordinary time.
    pub total: i64,
}

/// How good the best roster is, over the time up to the end of the job.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub enum Proof {
    /// Nothing is open.
    NothingOpen,
    /// No roster of whole lines costs less.
    Proven,
    /// No roster of whole lines costs less than this, in the unit of [`Roster::total`].
    Within {
        /// The bound.
        bound: i64,
    },
}

/// What came of rostering.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Outcome {
    /// The best rosters, best first; at least one.
    pub rosters: Vec<Roster>,
    /// How good the first of them is.
    pub proof: Proof,
    /// Turns that nobody stands in the first of them, in time order.
    pub holes: Vec<Hole>,
    /// Steps counted.
    pub work: u64,
}

impl Outcome {
    /// By how many thousandths of its cost the best roster may be dearer than need be; 0 where that is proven.
    #[must_use]
    pub fn gap_thousandths(&self) -> i64 {
        let Proof::Within { bound } = self.proof else { return 0 };
        let total = self.rosters[0].total;
        ((total - bound) * 1000 + total - 1).div_euclid(total.max(1))
    }
}

impl Roster {
    /// Who stands each turn, as the plan wants it: a hole is given to the first who may stand it.
    #[must_use]
    pub fn turns(&self, problem: &Problem) -> IdVec<TurnId, PersonId> {
        let first = |turn: TurnId| match &problem.turns[turn].stand {
            Stand::Fixed(person) => *person,
            Stand::Open(people) => people[0],
        };
        self.stands.pairs().map(|(turn, person)| person.unwrap_or_else(|| first(turn))).collect()
    }
}

/// A person on a line for a spell of days.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Stint {
    /// The post.
    pub post: PostId,
    /// The line, as people call it.
    pub line: String,
    /// Who; `None` where nobody does.
    pub person: Option<PersonId>,
    /// From the first turn to the last.
    pub span: Span,
    /// The turns, in time order.
    pub turns: Vec<TurnId>,
}

/// The roster of turns that start inside `time`, as stints: the same person on the same line without another in between.
/// Sorted by post, line, start.
#[must_use]
pub fn stints(problem: &Problem, stands: &IdVec<TurnId, Option<PersonId>>, time: Span) -> Vec<Stint> {
    let mut turns: Vec<TurnId> = problem.turns.pairs().filter(|(_, t)| time.contains(t.span.start())).map(|(id, _)| id).collect();
    turns.sort_by_key(|t| (problem.turns[*t].post, &problem.turns[*t].line, problem.turns[*t].span));
    let mut found: Vec<Stint> = Vec::new();
    for turn in turns {
        let (row, person) = (&problem.turns[turn], stands[turn]);
        match found.last_mut() {
            Some(last) if last.post == row.post && last.line == row.line && last.person == person => {
                last.span = last.span.hull(row.span);
                last.turns.push(turn);
            }
            _ => found.push(Stint { post: row.post, line: row.line.clone(), person, span: row.span, turns: vec![turn] }),
        }
    }
    found
}
