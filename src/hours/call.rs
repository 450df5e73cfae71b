//! Who can be called at a moment of a plan, for how long, and what it does to them.

use crate::account::What;
use crate::id::PersonId;
use crate::model::Problem;
use crate::rest::findings;
use crate::time::{Minutes, Moment, Span};
use crate::verify::{Asked, Bar, Bound};

/// Longest call that is tried.
pub const MOST: Minutes = Minutes::DAY;

/// How far after a call it is looked for the time to turn to again.
const SEARCHED: Minutes = Minutes::hours(72);

/// One person, asked about a call.
#[derive(Clone, PartialEq, Eq, Debug)]
pub struct Callee {
    /// Who.
    pub person: PersonId,
    /// What the person does when the call comes.
    pub doing: Option<What>,
    /// How long the person can be called for, in whole slots; nothing where not at all, at most [`MOST`].
    pub longest: Minutes,
    /// What forbids a slot more; `None` where [`MOST`] is reached.
    pub limit: Option<Bar>,
    /// What the call takes from the person, over the time asked or the longest, whichever is less.
    pub harm: Harm,
    /// The next watch or duty that may not be left after the call.
    pub next: Option<(Bound, Span)>,
    /// From when on the rest of the plan can be followed again; `None` where not within three days, or where the
    /// person cannot be called.
    pub off_until: Option<Moment>,
}

/// What a call takes from a person.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Harm {
    /// Rest that becomes work.
    pub rest_broken: Minutes,
    /// Work planned on the job that falls out, during the call and until the person may turn to again.
    pub labour_lost: Minutes,
}

impl Harm {
    /// Both together: the order of harm.
    #[must_use]
    pub fn total(self) -> Minutes {
        self.rest_broken + self.labour_lost
    }
}

/// Everybody, asked about a call at `at` for `length`: first those who can be called for all of it, least harm
/// first and of equal harm who could stay longest; then those who can be called for less, longest first; then
/// the others, in table order.
#[must_use]
pub fn call(problem: &Problem, asked: &Asked<'_>, at: Moment, length: Minutes) -> Vec<Callee> {
    let mut callees: Vec<Callee> = problem.people.ids().map(|id| callee(problem, asked, id, at, length)).collect();
    callees.sort_by_key(|c| {
        let enough = c.longest >= length;
        let harm = if enough { c.harm.total() } else { Minutes::ZERO };
        (!enough, harm, -c.longest, c.person)
    });
    callees
}

fn callee(problem: &Problem, asked: &Asked<'_>, person: PersonId, at: Moment, length: Minutes) -> Callee {
    let slot = problem.grid.slot();
    let mut longest = Minutes::ZERO;
    let mut limit = None;
    while longest < MOST && limit.is_none() {
        limit = asked.bar(person, at, longest + slot);
        if limit.is_none() {
            longest += slot;
        }
    }
    let doing = asked.doing_at(person, at);
    let mut callee = Callee { person, doing, longest, limit, harm: Harm::default(), next: None, off_until: None };
    let Some(call) = Span::of(at, length.min(longest)) else { return callee };
    callee.next = asked.bound(person).into_iter().find(|(_, span)| span.start() >= call.end());
    callee.off_until = off_until(problem, asked, person, call);
    let rests = asked.timeline(person, asked.work(person).to_vec());
    let shared = |spans: &[Span], with: Span| spans.iter().filter_map(|s| s.intersection(with)).map(Span::length).sum();
    callee.harm.rest_broken = shared(rests.rests(), call);
    let out = Span::new(at, callee.off_until.unwrap_or(call.end() + SEARCHED)).unwrap_or(call);
    callee.harm.labour_lost = shared(asked.labour(person), out);
    callee
}

/// The first slot boundary after `call` from which the person can do all that is planned for him and break no
/// rule that the plan as it stands keeps. Watches and duties that may not be left are done in any case.
fn off_until(problem: &Problem, asked: &Asked<'_>, person: PersonId, call: Span) -> Option<Moment> {
    let set = &problem.rule_sets[problem.people[person].rest];
    let longest = set.rules.iter().filter_map(|rule| rule.kind.window()).max().unwrap_or(Minutes::DAY);
    let reach = longest + Minutes::DAY + Minutes::DAY;
    let near = |span: &Span| call.start() - reach < span.end() && span.start() < call.end() + SEARCHED + reach;
    let planned: Vec<Span> = asked.work(person).iter().copied().filter(near).collect();
    let done = planned.iter().filter_map(|span| Span::new(span.start(), span.end().min(call.start())));
    let fixed = asked.bound(person).into_iter().map(|(_, span)| span).filter(|span| span.start() >= call.end() && near(span));
    let certain: Vec<Span> = done.chain(fixed).chain([call]).collect();
    let scope = Span::new(call.start(), call.end() + SEARCHED)?;
    let old = findings(set, &asked.timeline(person, planned.clone()), scope);
    let mut from = problem.grid.moment(problem.grid.ceil(call.end()));
    while from <= scope.end() {
        let rest_of_plan = planned.iter().filter_map(|span| Span::new(span.start().max(from), span.end()));
        let work = certain.iter().copied().chain(rest_of_plan).collect();
        let new = findings(set, &asked.timeline(person, work), scope);
        if new.iter().all(|finding| old.iter().any(|before| finding.no_worse_than(before))) {
            return Some(from);
        }
        from = from + problem.grid.slot();
    }
    None
}
