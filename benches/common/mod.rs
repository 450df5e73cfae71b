//! What the benchmarks share: a stopwatch, the options of a run, and the verifier's word on every plan.

use std::fs;
use std::time::Instant;

use turnto::bound::chain;
use turnto::calendar::Hours;
use turnto::engine::{self, Options, Outcome, Solution, Watch};
use turnto::model::Problem;
use turnto::time::Moment;
use turnto::verify::{Verified, verify};

/// Measures the time this thread was on a processor, where the system tells it (Linux does, to the
/// nanosecond); else wall time. On a machine that others use as well the two differ widely.
pub(crate) struct Stopwatch {
    wall: Instant,
    processor: Option<u64>,
}

impl Stopwatch {
    pub(crate) fn start() -> Self {
        Self { wall: Instant::now(), processor: on_processor() }
    }

    /// Seconds since the start.
    #[allow(clippy::cast_precision_loss, reason = "nanoseconds of a run fit")]
    pub(crate) fn seconds(&self) -> f64 {
        match (self.processor, on_processor()) {
            (Some(then), Some(now)) => (now - then) as f64 / 1e9,
            _ => self.wall.elapsed().as_secs_f64(),
        }
    }
}

/// Nanoseconds this thread has been on a processor.
fn on_processor() -> Option<u64> {
    fs::read_to_string("/proc/thread-self/schedstat").ok()?.split_whitespace().next()?.parse().ok()
}

/// Notes every gain, and ends the search after so many generations.
pub(crate) struct Notes<'a> {
    began: &'a Stopwatch,
    most: u64,
    polled: u64,
    /// Wall time is noted at these counts.
    counts: &'a [u64],
    pub(crate) gains: Vec<Gain>,
    /// Counts that were reached, with the seconds then.
    pub(crate) reached: Vec<(u64, f64)>,
}

/// A better plan.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Gain {
    /// Generations made.
    pub(crate) made: u64,
    pub(crate) finish: Moment,
    pub(crate) seconds: f64,
}

impl<'a> Notes<'a> {
    /// Stops after `most` generations.
    pub(crate) const fn new(began: &'a Stopwatch, most: u64, counts: &'a [u64]) -> Self {
        Self { began, most, polled: 0, counts, gains: Vec::new(), reached: Vec::new() }
    }
}

impl Watch for Notes<'_> {
    fn improved(&mut self, generation: u64, finish: Moment) {
        self.gains.push(Gain { made: generation, finish, seconds: self.began.seconds() });
    }

    fn stop(&mut self) -> bool {
        if self.counts.contains(&self.polled) {
            self.reached.push((self.polled, self.began.seconds()));
        }
        let enough = self.polled >= self.most;
        self.polled += 1;
        enough
    }
}

/// The bound the engine is given when a job folder is planned: the longest chain in ordinary hours, or, where
/// the job does not fit into those, with overtime.
///
/// # Errors
/// A task that is proven not to fit.
pub(crate) fn bound(problem: &Problem) -> Result<Moment, String> {
    chain(problem, Hours::Ordinary)
        .or_else(|_| chain(problem, Hours::WithOvertime))
        .map(|chain| chain.at)
        .map_err(|stuck| format!("task {} is proven not to fit", problem.tasks[stuck.task].code))
}

/// Plans as a job folder is planned.
///
/// # Errors
/// The task that is proven not to fit, or for which no place was found.
pub(crate) fn plan(problem: &Problem, seed: u64, patience: u64, watch: &mut dyn Watch) -> Result<(Solution, Moment), String> {
    let bound = bound(problem)?;
    match engine::solve(problem, &Options { seed, patience, bound: Some(bound), threads: 1, end: None }, watch) {
        Outcome::Found(solution) => Ok((solution, bound)),
        Outcome::NoRoster(why) => Err(format!("no roster: {why:?}")),
        Outcome::Stuck(task) => Err(format!("no place was found for task {}", problem.tasks[task].code)),
    }
}

/// The verifier's word.
///
/// # Errors
/// What it objects to, in words.
pub(crate) fn checked(problem: &Problem, solution: Solution) -> Result<Verified, String> {
    verify(problem, solution.plan).map_err(|rejected| {
        let said: Vec<String> = rejected.breaches.iter().take(5).map(|b| b.describe(problem)).collect();
        format!("the verifier refuses the plan, {} breaches: {}", rejected.breaches.len(), said.join("; "))
    })
}
