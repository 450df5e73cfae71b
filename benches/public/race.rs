//! One instance: the engine and the plain generator, each with the same numbers of schedules.

use turnto::id::Id;
use turnto::model::Problem;
use turnto::plan::Plan;
use turnto::rng::Stream;
use turnto::time::Moment;

use crate::check::{Placed, makespan};
use crate::common::{Notes, Stopwatch, checked, plan};
use crate::instances::{Instance, origin, problem};
use crate::plain::Plain;

/// How far to go.
pub(crate) struct Limits<'a> {
    /// Results are read off at these counts.
    pub(crate) counts: &'a [u64],
    pub(crate) seed: u64,
    pub(crate) plain: bool,
}

/// Who made the schedules.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Method {
    Engine,
    Plain,
}

impl Method {
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Engine => "turnto",
            Self::Plain => "plain",
        }
    }
}

/// What one method has after a number of schedules.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Reading {
    pub(crate) method: Method,
    /// Up to which count.
    pub(crate) count: u64,
    /// How many schedules were made; fewer than the count where the search ended by itself.
    pub(crate) made: u64,
    pub(crate) makespan: usize,
    /// Time to the end of these schedules.
    pub(crate) seconds: f64,
    /// Time at which this makespan was first there.
    pub(crate) seconds_to_best: f64,
}

impl Reading {
    /// For people.
    pub(crate) fn line(&self, instance: &Instance) -> String {
        let best = instance.known.best.map_or("-".to_owned(), |b| b.to_string());
        let (made, seconds) = (self.made, self.seconds);
        format!(
            "{:<44} {:<6} {made:>6} schedules: {:>5} (best known {best}, longest chain {}) in {seconds:.2} s",
            instance.name,
            self.method.name(),
            self.makespan,
            instance.project.chain()
        )
    }

    /// For the comparison with a general solver.
    pub(crate) fn csv(&self, instance: &Instance) -> String {
        let best = instance.known.best.map_or(String::new(), |b| b.to_string());
        format!(
            "{},{},{},{},{},{best},{},{:.4},{:.4}\n",
            instance.set,
            instance.name,
            self.method.name(),
            self.count,
            self.makespan,
            u8::from(instance.known.proven),
            self.seconds,
            self.seconds_to_best
        )
    }
}

/// Runs both methods. A makespan of the engine is what the second reader of the file works out, and it must
/// be what the engine and the verifier say.
///
/// # Errors
/// A plan that is refused, by verifier or second reader; an instance that cannot be built.
pub(crate) fn race(instance: &Instance, limits: &Limits) -> Result<Vec<Reading>, String> {
    let fault = |what: String| format!("{}: {what}", instance.name);
    let mut random = Stream::new(limits.seed, 77);
    let mut plain = Plain::new(&instance.project);
    // A single plain schedule says how long a calendar has to be laid out.
    let horizon = plain.draw(&mut random).ok_or_else(|| fault("no schedule at all".to_owned()))?;
    let problem = problem(&instance.name, &instance.project, horizon).map_err(fault)?;
    let mut readings = by_engine(instance, &problem, limits).map_err(fault)?;
    if limits.plain {
        readings.extend(by_plain(&mut plain, &mut random, limits).map_err(fault)?);
    }
    Ok(readings)
}

fn by_engine(instance: &Instance, problem: &Problem, limits: &Limits) -> Result<Vec<Reading>, String> {
    let most = limits.counts.last().copied().unwrap_or(0);
    let began = Stopwatch::start();
    let mut notes = Notes::new(&began, most, limits.counts);
    let (solution, _) = plan(problem, limits.seed, most, &mut notes)?;
    let total = began.seconds();
    let made = solution.generations;
    let verified = checked(problem, solution)?;
    let second = makespan(instance.format, &instance.text, &placed(problem, verified.plan())?)?;
    let finish = in_units(verified.account().finish);
    // A schedule below a proven bound would mean that both readers overlook a rule of the file.
    if let Some(lower) = instance.known.lower
        && finish < i64::try_from(lower).map_err(|_| "too long")?
    {
        return Err(format!("a makespan of {finish}, below the proven bound {lower}"));
    }
    let last = in_units(notes.gains.last().ok_or("the engine told of no plan")?.finish);
    if second != finish || last != finish {
        return Err(format!("the second reader says {second}, the verifier {finish}, the engine {last}"));
    }
    limits
        .counts
        .iter()
        .map(|count| {
            let known: Vec<_> = notes.gains.iter().filter(|gain| gain.made <= *count).collect();
            let finish = known.last().ok_or("no plan at that count")?.finish;
            let seconds_to_best = known.iter().find(|gain| gain.finish <= finish).map_or(total, |gain| gain.seconds);
            let seconds = notes.reached.iter().find(|(at, _)| at == count).map_or(total, |(_, seconds)| *seconds);
            let makespan = usize::try_from(in_units(finish)).map_err(|_| "a finish before the start")?;
            Ok(Reading { method: Method::Engine, count: *count, made: made.min(*count), makespan, seconds, seconds_to_best })
        })
        .collect()
}

fn in_units(moment: Moment) -> i64 {
    i64::from((moment - origin()).get() / 60)
}

/// The plan in the words of the file.
fn placed(problem: &Problem, plan: &Plan) -> Result<Vec<Placed>, String> {
    plan.spells
        .iter()
        .map(|spell| {
            let number = problem.tasks[spell.task].code.parse().map_err(|_| "a task without a number".to_owned())?;
            let (start, end) = (in_units(spell.span().start()), in_units(spell.span().end()));
            Ok(Placed { number, start, end, team: spell.team.iter().map(|p| p.index()).collect() })
        })
        .collect()
}

fn by_plain(plain: &mut Plain, random: &mut Stream, limits: &Limits) -> Result<Vec<Reading>, String> {
    let began = Stopwatch::start();
    let mut readings = Vec::new();
    let (mut best, mut to_best, mut made) = (usize::MAX, 0.0, 0);
    for count in limits.counts {
        while made < *count {
            let makespan = plain.draw(random).ok_or("the plain generator is stuck")?;
            made += 1;
            if makespan < best {
                best = makespan;
                to_best = began.seconds();
            }
        }
        let seconds = began.seconds();
        readings.push(Reading { method: Method::Plain, count: *count, made, makespan: best, seconds, seconds_to_best: to_best });
    }
    Ok(readings)
}
