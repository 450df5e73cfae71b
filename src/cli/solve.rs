//! From a problem to a plan with what is known about it: the one place where the parts of the planner meet.

use crate::bound::premises::LOOKED_FOR;
use crate::bound::{Impossible, chain};
use crate::calendar::Hours;
use crate::cli::possible::Possible;
use crate::cli::watch::Lookout;
use crate::engine::{self, Guide, Hole, NoRoster, Options, Watch};
use crate::id::{IdVec, MilestoneId, TaskId};
use crate::labour;
use crate::model::{Aim, Defect, Problem, Stand};
use crate::plan::Plan;
use crate::report::CutBy;
use crate::rest::rule::Limit;
use crate::roster::{self, Roster};
use crate::time::{Minutes, Moment, Span, union};

/// Generations without gain after which a stage of the search ends.
pub(super) const PATIENCE: u64 = 2400;

/// The same where people were told a plan: it is the better part of the next one.
pub(super) const TOLD: u64 = 600;

/// The same where several plans are made to be compared.
pub(super) const SHORT: u64 = 300;

/// So many times as patiently is searched where a date would be missed or something be short.
pub(super) const LATE: u64 = 4;

/// The same where each of several plans is to be short of nothing but time.
pub(super) const CLOSER: u64 = 240;

/// What came of planning.
pub(super) enum Outcome {
    /// A plan, not yet verified.
    Found(Box<Found>),
    /// No plan, and why, in words.
    NoPlan(String),
}

/// A plan and what is known about it beside itself.
pub(super) struct Found {
    /// The plan.
    pub(super) plan: Plan,
    /// What ended the search.
    pub(super) cut_by: CutBy,
    /// Whether a reserve is asked for, and only plans that keep it were looked for.
    pub(super) keeps_reserve: bool,
}

/// Whether plans may break the reserve.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Reserve {
    /// Only where none is found that keeps it.
    Kept,
    /// Wherever that has machines back sooner.
    Open,
}

/// The search as the lookout sees it.
struct Watched<'a> {
    problem: &'a Problem,
    lookout: &'a Lookout<'a>,
    cut: Option<CutBy>,
    told: Option<Moment>,
    /// The finish that is aimed at.
    aim: Moment,
    possible: &'a mut Possible,
}

impl Watch for Watched<'_> {
    fn improved(&mut self, generation: u64, finish: Moment) {
        if self.told != Some(finish) {
            self.lookout.tell(&format!("plan {generation}: finish {}", self.problem.clock.day_time(finish)));
            self.told = Some(finish);
        }
    }

    fn stop(&mut self) -> bool {
        self.cut = self.cut.or(self.lookout.cut());
        self.cut.is_some()
    }

    /// What the labour model says of the finish aimed at.
    fn advise(&mut self) -> Option<Guide> {
        let plan = labour::solve(self.problem, LOOKED_FOR, self.aim).ok()?;
        Some(Guide { order: plan.half, teams: plan.teams })
    }

    fn machines_short(&mut self) -> i64 {
        self.possible.machines_short
    }

    fn earliest(&mut self) -> Option<IdVec<MilestoneId, Moment>> {
        Some(self.possible.moments())
    }

    fn earliest_proven(&mut self, met_at: &IdVec<MilestoneId, Moment>) -> Option<IdVec<MilestoneId, Moment>> {
        let lookout = self.lookout;
        self.possible.prove(self.problem, met_at, &mut || lookout.cut().is_some()).then(|| self.possible.moments())
    }
}

/// Plans `problem` with so much patience, and asks for no more than is `possible`. Where the search finds
/// nothing and turns are open, it is tried again with the best rosters, one after the other.
pub(super) fn solve(
    problem: &Problem,
    reserve: Reserve,
    seed: u64,
    patience: u64,
    possible: &mut Possible,
    lookout: &Lookout<'_>,
) -> Outcome {
    let first = attempt(problem, reserve, seed, patience, possible, lookout);
    let open = problem.turns.iter().any(|turn| matches!(turn.stand, Stand::Open(_)));
    if matches!(first, Outcome::Found(_)) || !open || lookout.cut().is_some() {
        return first;
    }
    let rostered = roster::solve(problem, &roster::Options::default());
    for best in rostered.rosters.iter().filter(|r| r.stands.iter().all(Option::is_some)) {
        let Ok(fixed) = with_roster(problem, best) else { continue };
        if let found @ Outcome::Found(_) = attempt(&fixed, reserve, seed, patience, &mut possible.clone(), lookout) {
            return found;
        }
    }
    first
}

/// The problem with every open turn given to whom a roster gives it.
pub(super) fn with_roster(problem: &Problem, roster: &Roster) -> Result<Problem, Vec<Defect>> {
    let mut parts = problem.clone().into_parts();
    for (turn, person) in parts.turns.iter_mut().zip(roster.turns(problem).iter()) {
        turn.stand = Stand::Fixed(*person);
    }
    Problem::new(parts)
}

fn attempt(problem: &Problem, reserve: Reserve, seed: u64, patience: u64, possible: &mut Possible, lookout: &Lookout<'_>) -> Outcome {
    let with_overtime = match chain(problem, Hours::WithOvertime) {
        Ok(chain) => chain.at,
        Err(impossible) => return Outcome::NoPlan(proved(problem, &impossible)),
    };
    // Overtime is asked for only where it is needed, so the search aims first at what can be had without, unless the
    // finish counts before it. That a job does not fit without overtime is no proof that it does not fit.
    let place = |aim: Aim| problem.aims.iter().position(|a| *a == aim).unwrap_or(usize::MAX);
    let finish_first = place(Aim::Finish) < place(Aim::NightAndOvertime);
    let without = chain(problem, Hours::Ordinary).ok().filter(|_| !finish_first);
    let aim = without.map_or(with_overtime, |chain| chain.at);
    let options = Options { seed, patience, bound: Some(aim), threads: lookout.threads(), end: possible.end };
    let mut watch = Watched { problem, lookout, cut: None, told: None, aim, possible };
    let outcome = match reserve {
        Reserve::Kept => engine::solve(problem, &options, &mut watch),
        Reserve::Open => engine::solve_with_reserve_open(problem, &options, &mut watch),
    };
    match outcome {
        engine::Outcome::Stuck(task) => Outcome::NoPlan(none_found(problem, task)),
        engine::Outcome::NoRoster(why) => Outcome::NoPlan(no_roster(problem, &why)),
        engine::Outcome::Found(solution) => {
            let cut_by = watch.cut.filter(|_| solution.stopped).unwrap_or(CutBy::Work);
            Outcome::Found(Box::new(Found { plan: solution.plan, cut_by, keeps_reserve: solution.keeps_reserve }))
        }
    }
}

/// Why there is no plan, where that is proven.
fn proved(problem: &Problem, impossible: &Impossible) -> String {
    let day = |at| problem.clock.day_time(at);
    let task = &problem.tasks[impossible.task];
    let length = problem.grid.length(task.length);
    let room = match task.not_after {
        Some(by) => format!("has to end by {}", day(by)),
        None => format!("has to end by {}, the latest end of this job", day(problem.latest_end)),
    };
    let before: Vec<String> =
        impossible.before.iter().map(|link| format!("{} (done {})", problem.tasks[link.task].code, day(link.end))).collect();
    let because = if before.is_empty() { String::new() } else { format!(" It comes after {}.", before.join(", then ")) };
    let lacking = lacking(problem, impossible.task, impossible.ready);
    let why = if lacking.is_empty() {
        "even with everybody and every tool to itself it does not fit".to_owned()
    } else {
        format!("all that time {}", lacking.join(", and "))
    };
    format!(
        "No legal plan, proved: task {} ({}) needs {length} of work, cannot begin before {} and {room}; {why}.{because}",
        task.code,
        task.text,
        day(impossible.ready),
    )
}

/// What a task needs and cannot have at any time from `ready` to its latest end: people with a competence, a tool, the
/// watch that is to attend it.
fn lacking(problem: &Problem, id: TaskId, ready: Moment) -> Vec<String> {
    let task = &problem.tasks[id];
    let Some(time) = Span::new(ready, task.not_after.unwrap_or(problem.latest_end).min(problem.latest_end)) else { return Vec::new() };
    let gone = |away: &[Span]| time.without(away).is_empty();
    let mut lacking = Vec::new();
    let mut needs = task.needs.clone();
    needs.sort_unstable();
    needs.dedup();
    for need in needs {
        let code = &problem.competences[need].code;
        let holders: Vec<_> = problem.people.iter().filter(|p| p.holds(need)).collect();
        if holders.is_empty() {
            lacking.push(format!("nobody holds {code}"));
        } else if holders.iter().all(|p| gone(&p.away)) {
            let codes: Vec<&str> = holders.iter().map(|p| p.code.as_str()).collect();
            lacking.push(format!("nobody aboard holds {code} ({} away or unfit)", codes.join(", ")));
        }
    }
    let held = problem.holds.iter().filter(|hold| hold.fill == Some(id) || hold.empty == id).map(|hold| hold.tool);
    for tool in task.tools.iter().map(|(tool, _)| *tool).chain(held).map(|tool| &problem.tools[tool]) {
        if gone(&tool.away) {
            lacking.push(format!("{} cannot be had", tool.code));
        }
    }
    if let Some(post) = task.attended_by.map(|post| &problem.posts[post])
        && !post.manned.iter().any(|span| span.overlaps(time))
    {
        lacking.push(format!("nobody is on the watch {} that is to attend it", post.code));
    } else if let Some(post) = task.attended_by.map(|post| &problem.posts[post]) {
        let longest = union(post.manned.clone()).iter().map(|span| span.length()).max().unwrap_or(Minutes::ZERO);
        if longest < problem.grid.length(task.length) {
            let code = &post.code;
            lacking.push(format!("the watch {code} that is to attend it, in one piece, is stood for no more than {longest} at a time"));
        }
    }
    lacking
}

/// Why watches and duties cannot be stood at all.
fn no_roster(problem: &Problem, why: &NoRoster) -> String {
    let clock = &problem.clock;
    match why {
        NoRoster::Fixed { person, finding } => {
            let who = &problem.people[*person].code;
            let why = match finding {
                Some(f) => {
                    let rule = &problem.rule_sets[problem.people[*person].rest].rules[f.rule];
                    let (from, to) = (clock.day_time(f.window.start()), clock.day_time(f.window.end()));
                    let asked = match rule.kind.limit() {
                        Limit::AtLeast(least) => format!("{least} required"),
                        Limit::AtMost(most) => format!("{most} allowed"),
                    };
                    let record = if f.window.start() < problem.start { ", recorded hours included" } else { "" };
                    format!("break rest rule {}: {from} to {to}{record}, {} found, {asked}", rule.code, f.found)
                }
                None => "clash with one another, with time away, or with recorded work that is not over".to_owned(),
            };
            format!(
                "No legal plan, proved: the watches and duties of {who} that leave no choice {why}. Time on hand between two of \
                 them in one working day counts too. Give some of them to somebody else, or move a duty, or cut ordinary hours."
            )
        }
        NoRoster::NoChoice { hole, proved } => {
            let what = match hole {
                Hole::Turn(turn) => {
                    let turn = &problem.turns[*turn];
                    let post = &problem.posts[turn.post].code;
                    format!("the watch of {post} {} to {}", clock.day_time(turn.span.start()), clock.day_time(turn.span.end()))
                }
                Hole::Duty(duty) => format!("the duty {} ({})", problem.duties[*duty].code, problem.duties[*duty].name),
            };
            let head = if *proved { "No legal plan, proved" } else { "No legal plan: none found, which does not prove that there is none" };
            format!(
                "{head}: {what} cannot be filled by any of those it is open to within the rest rules, beside their other watches and \
                 duties. Name more people for it, or widen its time."
            )
        }
    }
}

/// What to say where the search found no place for one task, which proves nothing.
fn none_found(problem: &Problem, task: TaskId) -> String {
    let day = |at| problem.clock.day_time(at);
    let row = &problem.tasks[task];
    let needs: Vec<&str> = row.needs.iter().map(|c| problem.competences[*c].code.as_str()).collect();
    let from = row.not_before.map_or(problem.start, |at| at.max(problem.start));
    let to = row.not_after.map_or(problem.latest_end, |at| at.min(problem.latest_end));
    format!(
        "No legal plan: none found, which does not prove that there is none. Task {} ({}) needs {} of {} between {} and {} and \
         found no place there beside the other tasks, watches and duties within the rest rules.",
        row.code,
        row.text,
        problem.grid.length(row.length),
        if needs.is_empty() { "its post's watch".to_owned() } else { needs.join(" + ") },
        day(from),
        day(to),
    )
}
