//! What can be wrong with the parts of a problem.

use thiserror::Error;

use super::{CloseUp, Parts, Stand, Stop, Turn, When};
use crate::id::{Id, IdVec, PersonId, TaskId};
use crate::time::{Minutes, Span};

/// One way in which the parts of a problem do not hang together. The reader of job folders finds these
/// earlier, with file and line; this is the last line of defence, and the first for jobs built in code.
#[derive(Clone, PartialEq, Eq, Debug, Error)]
#[non_exhaustive]
pub enum Defect {
    /// Start, end, latest end and layout end are not in order, or not on the grid.
    #[error("the planning window is not start < end <= latest end, with 8 days of layout after it, on the slot grid")]
    Horizon,
    /// A reference leads outside its table.
    #[error("{0} refers to something that is not there")]
    Dangling(String),
    /// A code is used twice in one table.
    #[error("the code `{0}` is used twice")]
    Repeated(String),
    /// A list of spans is not in time order or not apart.
    #[error("{0}: spans are not in time order and apart")]
    Unordered(String),
    /// Tasks wait for one another in a circle.
    #[error("tasks come after one another in a circle: {}", .0.join(" after "))]
    Cycle(Vec<String>),
    /// A task needs more different people than hold what it needs.
    #[error("no team for task {0}: its needs cannot be filled by different people")]
    NoTeam(String),
    /// Numbers of a task do not fit together.
    #[error("task {0}: {1}")]
    Task(String, String),
    /// A stretch has no hours, or its pieces overlap.
    #[error("{0}: a working stretch is empty or its pieces overlap")]
    Stretch(String),
    /// A post is manned at a time without a turn, or by two turns.
    #[error("post {0}: its turns do not cover its manned time exactly once")]
    Cover(String),
    /// A fixed stand names somebody who may not stand the post.
    #[error("post {0}: {1} may not stand it")]
    MayNotStand(String, String),
    /// Mode spans leave a gap or overlap.
    #[error("modes do not cover the layout without gap")]
    Modes,
    /// The task that empties a held tool does not come after the one that fills it.
    #[error("task {0} empties a tool that is held for it, and does not come after the task that fills it")]
    HoldEndsBefore(String),
    /// A duty does not fit its window.
    #[error("duty {0} does not fit its window")]
    DutyWindow(String),
}

/// All defects but cycles.
pub(super) fn all(parts: &Parts) -> Vec<Defect> {
    let mut found = Vec::new();
    horizon(parts, &mut found);
    repeats(parts, &mut found);
    people(parts, &mut found);
    tasks(parts, &mut found);
    watches(parts, &mut found);
    machinery(parts, &mut found);
    found
}

fn horizon(parts: &Parts, found: &mut Vec<Defect>) {
    let ordered =
        parts.start < parts.end && parts.end <= parts.latest_end && parts.latest_end + Minutes::new(8 * 24 * 60) <= parts.layout_end;
    let aligned = [parts.start, parts.end, parts.latest_end].iter().all(|m| parts.grid.aligned(*m));
    if !ordered || !aligned {
        found.push(Defect::Horizon);
    }
}

fn repeats(parts: &Parts, found: &mut Vec<Defect>) {
    let tables: [Vec<&str>; 10] = [
        parts.competences.iter().map(|r| r.code.as_str()).collect(),
        parts.people.iter().map(|r| r.code.as_str()).collect(),
        parts.posts.iter().map(|r| r.code.as_str()).collect(),
        parts.tags.iter().map(|r| r.code.as_str()).collect(),
        parts.tasks.iter().map(|r| r.code.as_str()).collect(),
        parts.tools.iter().map(|r| r.code.as_str()).collect(),
        parts.units.iter().map(|r| r.code.as_str()).collect(),
        parts.groups.iter().map(|r| r.code.as_str()).collect(),
        parts.modes.iter().map(|r| r.code.as_str()).collect(),
        parts.milestones.iter().map(|r| r.code.as_str()).collect(),
    ];
    for mut codes in tables {
        codes.sort_unstable();
        found.extend(codes.windows(2).filter(|w| w[0] == w[1]).map(|w| Defect::Repeated(w[0].to_owned())));
    }
}

/// Whether spans are in time order and share no minute (touching is allowed).
fn in_order(spans: &[Span]) -> bool {
    spans.windows(2).all(|w| w[0].end() <= w[1].start())
}

fn people(parts: &Parts, found: &mut Vec<Defect>) {
    for person in parts.people.iter() {
        let code = &person.code;
        if person.competences.iter().any(|c| parts.competences.get(*c).is_none()) || parts.rule_sets.get(person.rest).is_none() {
            found.push(Defect::Dangling(format!("person {code}")));
        }
        let hulls: Option<Vec<Span>> = person
            .stretches
            .iter()
            .map(|s| {
                let mut pieces: Vec<Span> = s.ordinary.iter().chain(&s.overtime).copied().collect();
                pieces.sort_unstable();
                (!pieces.is_empty() && in_order(&pieces)).then(|| s.hull())
            })
            .collect();
        match hulls {
            None => found.push(Defect::Stretch(format!("person {code}"))),
            Some(hulls) if !in_order(&hulls) => found.push(Defect::Unordered(format!("person {code}, working stretches"))),
            Some(_) => {}
        }
        for (what, spans) in [("breaks", &person.breaks), ("away", &person.away)] {
            if !in_order(spans) {
                found.push(Defect::Unordered(format!("person {code}, {what}")));
            }
        }
        if !person.competences.is_sorted() {
            found.push(Defect::Unordered(format!("person {code}, competences")));
        }
    }
}

fn tasks(parts: &Parts, found: &mut Vec<Defect>) {
    let known = |task: TaskId| parts.tasks.get(task).is_some();
    for task in parts.tasks.iter() {
        let code = &task.code;
        let position = |pair: &(usize, PersonId)| pair.0 < task.needs.len() && parts.people.get(pair.1).is_some();
        let named = task.pinned.team.iter().chain(&task.pinned.off).all(position)
            && task.under_way.as_ref().is_none_or(|w| w.team.iter().all(|p| parts.people.get(*p).is_some()));
        let dangling = !named
            || task.needs.iter().any(|c| parts.competences.get(*c).is_none())
            || task.after.iter().any(|a| !known(a.task))
            || task.tools.iter().any(|(t, _)| parts.tools.get(*t).is_none())
            || task.tags.iter().any(|t| parts.tags.get(*t).is_none())
            || parts.phases.get(task.phase).is_none()
            || task.takes_out.iter().chain(&task.hands_back).any(|u| parts.units.get(*u).is_none())
            || task.same.iter().any(|n| *n >= task.needs.len())
            || task.attended_by.is_some_and(|p| parts.posts.get(p).is_none())
            || matches!(&task.close_up, CloseUp::PutsBack(opened) if opened.iter().any(|t| !known(*t)))
            || task.different.iter().any(|d| {
                d.need >= task.needs.len() || parts.tasks.get(d.other).is_none_or(|o| d.other_needs.iter().any(|n| *n >= o.needs.len()))
            });
        if dangling {
            found.push(Defect::Dangling(format!("task {code}")));
            continue;
        }
        let mut say = |what: &str| found.push(Defect::Task(code.clone(), what.to_owned()));
        if task.length.count() < 1 {
            say("it has no length");
        }
        match task.stop {
            Stop::Any { min_spell } if min_spell.count() < 1 => say("its shortest spell is not positive"),
            Stop::Parts(n) if n < 1 || i64::from(n) > i64::from(task.length.count()) => say("it has no part, or more parts than slots"),
            Stop::Any { .. } | Stop::Parts(_) | Stop::Never => {}
        }
        if task.after.iter().any(|a| a.lag < Minutes::ZERO) {
            say("a wait is negative");
        }
        if let (Some(from), Some(to)) = (task.not_before, task.not_after)
            && from + parts.grid.length(task.length) > to
        {
            say("it does not fit between its own not_before and not_after");
        }
        for (tool, number) in &task.tools {
            if *number == 0 || *number > parts.tools[*tool].number {
                say("it needs none, or more of a tool than there are");
            }
        }
        if task.attended_by.is_some() && !task.unmanned() {
            say("only a task without people is attended by a watch");
        }
        let lacks = |(need, person): &(usize, PersonId)| !parts.people[*person].holds(task.needs[*need]);
        if task.pinned.team.iter().any(lacks) {
            say("somebody put on it does not hold what the position needs");
        }
        if task.pinned.start.is_some_and(|at| !parts.grid.aligned(at) || at < parts.start) {
            say("the start decided for it is not on the slot grid, or before planning begins");
        }
        if let Some(spell) = &task.under_way
            && (spell.team.len() != task.needs.len() || spell.left.count() < 1 || spell.left > task.length)
        {
            say("the spell under way has not one person for each need, or nothing or too much left");
        }
        if let (Some(spell), Stop::Never) = (&task.under_way, task.stop)
            && spell.left != task.length
        {
            say("a task that may not stop is under way with less left than all of it");
        }
        if let (Some(spell), Stop::Parts(n)) = (&task.under_way, task.stop)
            && (i64::from((task.length - spell.left).count()) < i64::from(n) - 1 || (n == 1 && spell.left != task.length))
        {
            say("what is left of the part under way and of the task does not fit its parts");
        }
        if !has_team(parts, task) {
            found.push(Defect::NoTeam(code.clone()));
        }
    }
    for hold in &parts.holds {
        let there = hold.fill.is_none_or(known) && hold.filling.is_none_or(known) && known(hold.empty);
        if !there || parts.tools.get(hold.tool).is_none_or(|t| hold.number == 0 || hold.number > t.number) {
            found.push(Defect::Dangling("a held tool".to_owned()));
        } else if hold.fill.is_some_and(|fill| fill != hold.empty && !comes_after(parts, hold.empty, fill)) {
            found.push(Defect::HoldEndsBefore(parts.tasks[hold.empty].code.clone()));
        }
    }
}

/// Whether `later` comes after `earlier`, through others or at once; every task in `after` must be there.
fn comes_after(parts: &Parts, later: TaskId, earlier: TaskId) -> bool {
    let mut seen: IdVec<TaskId, bool> = IdVec::filled(false, parts.tasks.len());
    let mut open = vec![later];
    while let Some(task) = open.pop() {
        for before in parts.tasks.get(task).into_iter().flat_map(|t| &t.after).map(|a| a.task) {
            if before == earlier {
                return true;
            }
            if seen.get(before) == Some(&false) {
                seen[before] = true;
                open.push(before);
            }
        }
    }
    false
}

/// Whether different people can fill all needs at all (augmenting paths).
fn has_team(parts: &Parts, task: &super::Task) -> bool {
    fn place(parts: &Parts, task: &super::Task, need: usize, taken: &mut [Option<usize>], seen: &mut [bool]) -> bool {
        for (id, person) in parts.people.pairs() {
            let i = id.index();
            if person.holds(task.needs[need]) && task.lets(need, id) && !seen[i] {
                seen[i] = true;
                if taken[i].is_none_or(|other| place(parts, task, other, taken, seen)) {
                    taken[i] = Some(need);
                    return true;
                }
            }
        }
        false
    }
    let mut taken = vec![None; parts.people.len()];
    (0..task.needs.len()).all(|need| place(parts, task, need, &mut taken, &mut vec![false; parts.people.len()]))
}

fn watches(parts: &Parts, found: &mut Vec<Defect>) {
    let mut by_post = IdVec::filled(Vec::new(), parts.posts.len());
    for turn in parts.turns.iter() {
        let Some(post) = parts.posts.get(turn.post) else {
            found.push(Defect::Dangling("a turn".to_owned()));
            continue;
        };
        let list: &mut Vec<Span> = &mut by_post[turn.post];
        list.push(turn.span);
        let stands = match &turn.stand {
            Stand::Fixed(person) => std::slice::from_ref(person),
            Stand::Open(people) => people.as_slice(),
        };
        if stands.is_empty() {
            found.push(Defect::Cover(post.code.clone()));
        }
        for person in stands {
            match parts.people.get(*person) {
                None => found.push(Defect::Dangling("a turn".to_owned())),
                Some(p) if !p.holds(post.competence) => found.push(Defect::MayNotStand(post.code.clone(), p.code.clone())),
                Some(_) => {}
            }
        }
    }
    for (id, post) in parts.posts.pairs() {
        let exact = in_order(&by_post[id]) && in_order(&post.manned);
        if !exact || crate::time::union(by_post[id].clone()) != crate::time::union(post.manned.clone()) {
            found.push(Defect::Cover(post.code.clone()));
        }
    }
    for post in parts.posts.iter() {
        let people = |turn: &Turn| match &turn.stand {
            Stand::Fixed(person) => parts.people.get(*person).is_some(),
            Stand::Open(people) => people.iter().all(|p| parts.people.get(*p).is_some()),
        };
        if let Some(by) = &post.by_mode
            && !(by.modes.iter().all(|m| parts.modes.get(*m).is_some()) && by.turns.iter().all(people))
        {
            found.push(Defect::Dangling(format!("post {}", post.code)));
        }
    }
    for duty in parts.duties.iter() {
        if duty.who.iter().any(|p| parts.people.get(*p).is_none()) || duty.bans.iter().any(|t| parts.tags.get(*t).is_none()) {
            found.push(Defect::Dangling(format!("duty {}", duty.code)));
        }
        if let When::Movable { window, length } = duty.when
            && (length <= Minutes::ZERO || length > window.length())
        {
            found.push(Defect::DutyWindow(duty.code.clone()));
        }
    }
}

fn machinery(parts: &Parts, found: &mut Vec<Defect>) {
    for group in parts.groups.iter() {
        if group.units.iter().any(|u| parts.units.get(*u).is_none()) {
            found.push(Defect::Dangling(format!("group {}", group.code)));
        }
    }
    if parts.groups.iter().any(|g| g.short_before.is_some_and(|run| run.end() > parts.start)) {
        found.push(Defect::Unordered("a group that was short before planning begins".to_owned()));
    }
    if parts.never_together.iter().any(|n| n.units.iter().any(|u| parts.units.get(*u).is_none())) {
        found.push(Defect::Dangling("a set of units never out together".to_owned()));
    }
    for mode in parts.modes.iter() {
        let reserve = mode.reserve.as_ref();
        if mode.needs.iter().any(|(g, _)| parts.groups.get(*g).is_none())
            || reserve.is_some_and(|r| r.kinds.iter().any(|k| parts.competences.get(k.competence).is_none()))
        {
            found.push(Defect::Dangling(format!("mode {}", mode.code)));
        }
    }
    if !parts.mode_spans.is_empty() {
        let whole = parts.mode_spans.windows(2).all(|w| w[0].0.end() == w[1].0.start());
        let first = parts.mode_spans[0].0.start() <= parts.start;
        let last = parts.mode_spans[parts.mode_spans.len() - 1].0.end() >= parts.layout_end;
        if !(whole && first && last && parts.mode_spans.iter().all(|(_, m)| parts.modes.get(*m).is_some())) {
            found.push(Defect::Modes);
        }
    }
    for milestone in parts.milestones.iter() {
        if milestone.tasks.iter().any(|t| parts.tasks.get(*t).is_none()) {
            found.push(Defect::Dangling(format!("milestone {}", milestone.code)));
        }
    }
}
