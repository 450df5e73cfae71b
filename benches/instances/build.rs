//! From a public instance to an ordinary problem.

use chrono::NaiveDate;
use turnto::clock::{Day, ShipClock};
use turnto::id::{CompetenceId, Id, IdVec, RuleSetId, TaskId, ToolId};
use turnto::model::{After, Aim, Estimate, Named, Parts, Person, Problem, Stop, Stretch, Task, Tool};
use turnto::rest::{Readings, RuleSet, RuleSetParts};
use turnto::time::{Grid, Minutes, Moment, Slots, Span};

use super::Project;

/// When every instance begins: time 0 of the file.
pub(crate) const fn origin() -> Moment {
    Moment::ORIGIN
}

/// The instance as a job: resources are tools, people with skills are crew who work round the clock, a time
/// unit is a slot of an hour. `horizon` is a makespan known to be possible; the plan may grow to twice that.
///
/// # Errors
/// What the model objects to, in words.
pub(crate) fn problem(name: &str, project: &Project, horizon: usize) -> Result<Problem, String> {
    let grid = Grid::new(Minutes::hours(1)).ok_or("an hour is a slot")?;
    // Whole days, so that a plan that grows by days stays on them.
    let days = horizon.div_ceil(24).max(1);
    let end = origin() + hours(days * 24)?;
    let latest_end = origin() + hours(days * 48)?;
    let layout_end = latest_end + Minutes::hours(8 * 24);
    let round_the_clock = Span::new(origin(), layout_end).ok_or("an empty layout")?;
    let skills = project.masters.first().map_or(0, Vec::len);
    let rules = RuleSet::new(RuleSetParts {
        code: "none".to_owned(),
        name: "no rest rules".to_owned(),
        source: "a machine needs no rest".to_owned(),
        min_rest: Minutes::hours(1),
        rules: Vec::new(),
        readings: Readings::default(),
        own: true,
        permit: None,
    })
    .map_err(|errors| format!("{errors:?}"))?;
    let person = |(i, masters): (usize, &Vec<bool>)| Person {
        code: format!("P{}", i + 1),
        name: String::new(),
        role: String::new(),
        competences: masters.iter().enumerate().filter(|(_, has)| **has).map(|(s, _)| CompetenceId::from_index(s)).collect(),
        stretches: vec![Stretch { day: Day::new(1), ordinary: vec![round_the_clock], overtime: Vec::new() }],
        breaks: Vec::new(),
        job_cap: None,
        evenings: None,
        rest: RuleSetId::from_index(0),
        away: Vec::new(),
        recorded: Vec::new(),
        on_call: Vec::new(),
        recorded_from: None,
        answers_for: Vec::new(),
        before: turnto::model::Before::default(),
    };
    let parts = Parts {
        ship: String::new(),
        title: name.to_owned(),
        clock: ShipClock::new(NaiveDate::from_ymd_opt(2027, 3, 1).ok_or("no such day")?, Minutes::ZERO, Vec::new())
            .ok_or("no such clock")?,
        grid,
        start: origin(),
        end,
        latest_end,
        layout_end,
        competences: (0..skills).map(|s| named(format!("S{}", s + 1))).collect(),
        rule_sets: IdVec::from(vec![rules]),
        people: project.masters.iter().enumerate().map(person).collect(),
        posts: IdVec::new(),
        turns: IdVec::new(),
        duties: IdVec::new(),
        phases: IdVec::from(vec![named("all".to_owned())]),
        tags: IdVec::new(),
        tasks: project.activities.iter().map(task).collect::<Result<Vec<_>, _>>()?.into(),
        tools: project.capacities.iter().enumerate().map(tool).collect(),
        holds: Vec::new(),
        bans: Vec::new(),
        units: IdVec::new(),
        groups: IdVec::new(),
        never_together: Vec::new(),
        modes: IdVec::new(),
        mode_spans: Vec::new(),
        milestones: IdVec::new(),
        // The order of aims is data: here nights are as good as days, and only the finish counts.
        aims: vec![Aim::Shortfall, Aim::Finish],
        told: None,
    };
    Problem::new(parts).map_err(|defects| defects.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))
}

fn hours(n: usize) -> Result<Minutes, String> {
    i32::try_from(n).map(Minutes::hours).map_err(|_| format!("{n} hours are too many"))
}

fn named(code: String) -> Named {
    Named { code, name: String::new() }
}

fn tool((i, number): (usize, &u32)) -> Tool {
    Tool { code: format!("R{}", i + 1), name: String::new(), number: *number, away: Vec::new(), calibrated_until: None }
}

fn task(activity: &super::Activity) -> Result<Task, String> {
    let length = hours(activity.length)?;
    Ok(Task {
        code: activity.number.to_string(),
        text: String::new(),
        phase: turnto::id::PhaseId::from_index(0),
        needs: activity.skills.iter().map(|s| CompetenceId::from_index(*s)).collect(),
        hours: Estimate { least: length, typical: length, most: length },
        length: Slots::new(i32::try_from(activity.length).map_err(|_| "an activity is too long")?),
        stop: Stop::Never,
        pauses: false,
        after: activity.after.iter().map(|a| After { task: TaskId::from_index(*a), lag: Minutes::ZERO }).collect(),
        tools: activity.uses.iter().map(|(r, n)| (ToolId::from_index(*r), *n)).collect(),
        not_before: None,
        not_after: None,
        tags: Vec::new(),
        takes_out: Vec::new(),
        hands_back: Vec::new(),
        same: Vec::new(),
        different: Vec::new(),
        emergency: false,
        attended_by: None,
        pinned: turnto::model::Pinned::default(),
        close_up: turnto::model::CloseUp::Needed,
        under_way: None,
    })
}
