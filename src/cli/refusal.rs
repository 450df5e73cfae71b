//! Where there is no legal plan: which requirements cannot stand together, and what leaving out each of them gives.

use std::collections::BTreeMap;

use crate::bound::chain;
use crate::calendar::Hours;
use crate::cli::trial::{Trial, planned};
use crate::labour::{Premises, Reserve, smallest_finish_unless};
use crate::model::Problem;
use crate::variant::{Requirement, Variant, fewest};

/// Most times the labour model is asked.
const MODELS: usize = 60;

/// Most ways out that are planned.
const WAYS: usize = 5;

/// The refusal itself; where more was proven than the search knew, it says so.
pub(super) fn headline(words: &str, proved: bool) -> String {
    const SEARCHED: &str = "No legal plan: none found, which does not prove that there is none.";
    let known = "No legal plan, proved by the labour model: see below.";
    if proved { words.replace(SEARCHED, known) } else { words.to_owned() }
}

/// A paragraph for each thing worth saying beside the refusal itself: the fewest requirements that cannot stand
/// together, and the ways out, each planned. Empty where nothing is proven.
pub(super) fn paragraphs(problem: &Problem, trial: &Trial<'_>) -> Vec<String> {
    let stopped = || trial.lookout.cut().is_some();
    let by_chain = |p: &Problem| chain(p, Hours::WithOvertime).is_ok();
    let by_labour = |p: &Problem| {
        let premises = Premises { hours: Hours::WithOvertime, reserve: Reserve::Open };
        stopped() || smallest_finish_unless(p, premises, None, &mut || stopped()).is_ok_and(|s| s.at.is_some() || s.cut.is_some())
    };
    let mut asked = 0;
    let set = fewest(problem, &mut |p| by_chain(p)).or_else(|| {
        // The labour model takes its time; a large job is not asked again and again.
        fewest(problem, &mut |p| {
            asked += 1;
            asked > MODELS || by_labour(p)
        })
    });
    let Some(set) = set else { return Vec::new() };
    let mut list =
        vec!["These requirements cannot stand together, whoever works on what; without any one of them the others could:".to_owned()];
    list.extend(listed(problem, &set).into_iter().map(|line| format!("- {line}")));
    list.push("What leaving out one of them gives, each planned by itself:".to_owned());
    for requirement in set.into_iter().take(WAYS) {
        let came = match Variant::Drop(requirement).apply(problem) {
            Err(refused) => format!("cannot be: {refused}"),
            Ok(changed) => match planned(&changed, trial) {
                Ok(figures) => format!("finish {}, overtime {}", problem.clock.day_time(figures.finish), figures.overtime),
                Err(_) => "none found by a short search".to_owned(),
            },
        };
        list.push(format!("- without \"{}\": {came}", words(problem, requirement)));
    }
    list
}

/// Requirements in words, bans of the same tags for the same reason in one line with when they are.
fn listed(problem: &Problem, set: &[Requirement]) -> Vec<String> {
    let mut bans: BTreeMap<String, Vec<usize>> = BTreeMap::new();
    for requirement in set {
        if let Requirement::Ban(ban) = requirement {
            bans.entry(banned(problem, *ban)).or_default().push(*ban);
        }
    }
    let line = |requirement: &Requirement| match requirement {
        Requirement::Ban(ban) => {
            let what = banned(problem, *ban);
            let alike = &bans[&what];
            match alike.as_slice() {
                [_] => Some(words(problem, *requirement)),
                [first, ..] if first == ban => {
                    let times: Vec<String> = alike.iter().map(|ban| when(problem, *ban)).collect();
                    Some(format!("each of {} bans {what}: {}", alike.len(), times.join("; ")))
                }
                _ => None,
            }
        }
        _ => Some(words(problem, *requirement)),
    };
    set.iter().filter_map(line).collect()
}

/// What a ban bans, and why.
fn banned(problem: &Problem, ban: usize) -> String {
    let ban = &problem.bans[ban];
    let tags: Vec<&str> = ban.tags.iter().map(|tag| problem.tags[*tag].code.as_str()).collect();
    format!("of {}{}", tags.join(", "), ban.because())
}

/// When a ban is.
fn when(problem: &Problem, ban: usize) -> String {
    let (clock, span) = (&problem.clock, problem.bans[ban].span);
    let same_day = clock.day(span.start()) == clock.day(span.end());
    let end = if same_day { clock.hour(span.end()) } else { clock.day_time(span.end()) };
    format!("{} to {end}", clock.day_time(span.start()))
}

/// A requirement in words.
pub(super) fn words(problem: &Problem, requirement: Requirement) -> String {
    let task = |t: crate::id::TaskId| problem.tasks[t].code.clone();
    let day = |at| problem.clock.day_time(at);
    match requirement {
        Requirement::NotAfter(t) => {
            let by = problem.tasks[t].not_after.map_or_else(String::new, day);
            format!("task {} done by {by}", task(t))
        }
        Requirement::NotBefore(t) => {
            let from = problem.tasks[t].not_before.map_or_else(String::new, day);
            format!("task {} not before {from}", task(t))
        }
        Requirement::Wait(t, before) => {
            let lag = problem.tasks[t].after.iter().find(|a| a.task == before).map(|a| a.lag.to_string()).unwrap_or_default();
            format!("{lag} of waiting between {} and {}", task(before), task(t))
        }
        Requirement::Order(t, before) => format!("{} after {}", task(t), task(before)),
        Requirement::Away(p) => format!("{} away", problem.people[p].code),
        Requirement::ToolAway(tool) => format!("{} away", problem.tools[tool].code),
        Requirement::Ban(ban) => format!("the ban {}, {}", banned(problem, ban), when(problem, ban)),
        Requirement::Cap(p) => format!("the daily cap of {}", problem.people[p].code),
        Requirement::Evenings(p) => format!("the evenings of {}", problem.people[p].code),
        Requirement::Stops(t) => format!("task {} may not stop where it likes", task(t)),
    }
}
