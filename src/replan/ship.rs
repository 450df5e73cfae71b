//! Watches, duties, machines, tools and modes of a remainder.

use crate::id::{IdVec, ModeId, PersonId, PostId};
use crate::model::{Duty, Parts, Stand, Stop, Turn, When};
use crate::replan::broken::broken;
use crate::replan::progress::Work;
use crate::replan::run::and;
use crate::replan::short::Known;
use crate::replan::{Effects, Standing, Whole};
use crate::time::{Minutes, Moment, Span, union};

/// The first planning end of a remainder that begins at `start`: that of the job, or the first end of a ship's
/// day after it; `None` if the job may not last so long.
pub(super) fn end(parts: &Parts, start: Moment) -> Option<Moment> {
    let mut end = parts.end;
    let time = parts.clock.minute_of_day(end);
    let mut day = parts.clock.day(end);
    while end <= start && end < parts.latest_end {
        day = day.next();
        end = parts.clock.at(day, time).min(parts.latest_end);
    }
    (end > start).then_some(end)
}

/// Fills in everything of the ship that is not a person or a task.
#[expect(clippy::too_many_arguments, reason = "each is a different half of what is known")]
pub(super) fn ship(
    parts: &mut Parts,
    whole: &Whole,
    standing: &Standing,
    work: &Work,
    effects: &Effects,
    start: Moment,
    written: usize,
    notes: &mut Vec<String>,
) {
    let modes = modes(&whole.parts, effects);
    let mut laid = Vec::new();
    for id in whole.parts.posts.ids() {
        let (manned, turns) = manned(&whole.parts, id, &modes, effects);
        parts.posts[id].manned = post_from(&manned, start);
        laid.extend(turns);
    }
    parts.turns = turns(parts, &laid, standing, start, notes);
    keep_at_work(parts, start);
    parts.duties = duties(parts, whole, standing, effects, start, written, notes);
    parts.bans.retain(|b| b.span.end() > start);
    for id in whole.parts.tools.ids() {
        let all = whole.parts.tools[id].away.iter().chain(&effects.gone[id]).copied().collect();
        parts.tools[id].away = union(all).into_iter().filter_map(|s| from(s, start)).collect();
    }
    for id in whole.parts.units.ids() {
        let (open, event): (Vec<_>, Vec<_>) = broken(whole, work, effects, id, start).into_iter().partition(|(_, to_come)| *to_come);
        let mut out: Vec<Span> = whole.parts.units[id].out.iter().copied().chain(event.into_iter().map(|(span, _)| span)).collect();
        if open.iter().any(|(span, _)| span.start() <= start) {
            already_out(parts, whole, id);
        }
        out.extend(still_out(parts, whole, work, id, start));
        parts.units[id].out = union(out).into_iter().filter_map(|s| from(s, start)).collect();
    }
    let known = Known { whole, standing, work, effects, modes: &modes, start };
    for (id, group) in whole.parts.groups.pairs() {
        parts.groups[id].short_before = known.short_before(id, group);
    }
    parts.mode_spans = modes.into_iter().filter_map(|(s, m)| Some((from(s, start)?, m))).collect();
}

/// What of some spans lies at or after `start`.
fn post_from(spans: &[Span], start: Moment) -> Vec<Span> {
    spans.iter().filter_map(|s| from(*s, start)).collect()
}

/// When a post is manned in the modes that hold, and its turns. Where it goes by modes and the log changed one, they are
/// laid out anew from its lines; what these leave open is open to everybody.
fn manned(parts: &Parts, id: PostId, modes: &[(Span, ModeId)], effects: &Effects) -> (Vec<Span>, Vec<Turn>) {
    let post = &parts.posts[id];
    let Some(by_mode) = post.by_mode.as_ref().filter(|_| !effects.modes.is_empty()) else {
        return (post.manned.clone(), parts.turns.iter().filter(|t| t.post == id).cloned().collect());
    };
    let manned = union(modes.iter().filter(|(_, m)| by_mode.modes.contains(m)).map(|(span, _)| *span).collect());
    let stood: Vec<Span> = by_mode.turns.iter().map(|t| t.span).collect();
    let mut turns: Vec<Turn> = Vec::new();
    for span in &manned {
        turns.extend(by_mode.turns.iter().filter_map(|t| Some(Turn { span: t.span.intersection(*span)?, ..t.clone() })));
        let holes = span.without(&stood).into_iter();
        turns.extend(holes.map(|span| Turn { post: id, span, stand: Stand::Open(Vec::new()), line: String::new() }));
    }
    turns.sort_by_key(|t| t.span);
    (manned, turns)
}

/// What of `span` lies at or after `start`.
fn from(span: Span, start: Moment) -> Option<Span> {
    Span::new(span.start().max(start), span.end())
}

/// A machine that has broken down is out already, and out until it is handed back: what is still to be done takes it out no
/// more, as the first task of its repair might say.
fn already_out(parts: &mut Parts, whole: &Whole, unit: crate::id::UnitId) {
    for task in parts.tasks.iter_mut() {
        task.takes_out.retain(|u| *u != unit);
    }
    // What the job has for it again and again has it out meanwhile as before, and hands nothing back.
    let added = |duty: &Duty| whole.log.duties.iter().any(|(_, d)| d.code == duty.code);
    for duty in parts.duties.iter_mut().filter(|duty| added(duty) || !duty.borrows(unit)) {
        duty.takes_out.retain(|u| *u != unit);
    }
}

/// Out from the start to the end of all that is laid out: taken out by work that was begun, and nothing left
/// hands it back, or hands it back by work that is done only if it was.
fn still_out(parts: &Parts, whole: &Whole, work: &Work, unit: crate::id::UnitId, start: Moment) -> Option<Span> {
    let tasks = || whole.parts.tasks.pairs();
    let taken = tasks().any(|(id, t)| t.takes_out.contains(&unit) && work.left[id].begun);
    let back = tasks().any(|(id, t)| t.hands_back.contains(&unit) && !work.left[id].is_open() && work.left[id].begun);
    let to_come = parts.tasks.iter().any(|t| t.hands_back.contains(&unit)) || parts.duties.iter().any(|d| d.closes(unit));
    (taken && !back && !to_come).then(|| Span::new(start, whole.parts.layout_end)).flatten()
}

/// Turns from `start` on. The one that is being stood goes on with who has it; a turn of somebody who cannot
/// stand it is open to everybody who can.
fn turns(parts: &Parts, laid: &[Turn], standing: &Standing, start: Moment, notes: &mut Vec<String>) -> IdVec<crate::id::TurnId, Turn> {
    let cut = |turn: &Turn| Some(Turn { span: from(turn.span, start)?, ..turn.clone() });
    let mut turns: Vec<Turn> = laid.iter().filter_map(cut).collect();
    let may = |person: PersonId, turn: &Turn| parts.people[person].holds(parts.posts[turn.post].competence);
    let free = |person: PersonId, span: Span| {
        let person = &parts.people[person];
        person.aboard(span) && !person.called_after(start).any(|call| call.overlaps(span))
    };
    let fit = |person: PersonId, turn: &Turn| may(person, turn) && free(person, turn.span);
    let fixed: Vec<(PersonId, Span)> = turns.iter().filter_map(|t| Some((only(&t.stand)?, t.span))).collect();
    for turn in &mut turns {
        let stood = standing.problem.turns.find(|t| t.post == turn.post && t.span.end() == turn.span.end());
        let told = stood.and_then(|id| standing.plan.turns.get(id).copied());
        let begun = stood.is_some_and(|id| standing.problem.turns[id].span.start() < start);
        if let (true, Some(person)) = (begun, told)
            && fit(person, turn)
        {
            turn.stand = Stand::Fixed(person);
            continue;
        }
        let left: Vec<PersonId> = match &turn.stand {
            Stand::Fixed(person) => vec![*person],
            Stand::Open(people) => people.clone(),
        };
        let left: Vec<PersonId> = left.into_iter().filter(|p| fit(*p, turn)).collect();
        if let (Stand::Open(_), false) = (&turn.stand, left.is_empty()) {
            turn.stand = Stand::Open(left);
        } else if left.is_empty() {
            let busy = |p: PersonId| fixed.iter().any(|(who, span)| *who == p && span.overlaps(turn.span));
            let others: Vec<PersonId> = parts.people.ids().filter(|p| fit(*p, turn) && !busy(*p)).collect();
            if others.is_empty() {
                notes.push(nobody(parts, turn, &fixed, start));
                if turn.stand == Stand::Open(Vec::new()) {
                    turn.stand = Stand::Open(parts.people.ids().filter(|p| may(*p, turn)).collect());
                }
            } else {
                turn.stand = Stand::Open(others);
            }
        }
    }
    turns.into()
}

/// What is said of a turn that nobody is free to stand: who might, what keeps each from it and for how long, and what to do.
fn nobody(parts: &Parts, turn: &Turn, fixed: &[(PersonId, Span)], start: Moment) -> String {
    let (post, clock) = (&parts.posts[turn.post], &parts.clock);
    let mut rows: Vec<(&str, Moment, String)> = Vec::new();
    for (id, person) in parts.people.pairs().filter(|(_, person)| person.holds(post.competence)) {
        let until = |mut spans: Vec<Span>| {
            spans.retain(|span| span.overlaps(turn.span));
            spans.iter().map(|span| span.end()).max()
        };
        let kept = [
            ("called out", until(person.called_after(start).collect())),
            ("away or unfit", until(person.away.clone())),
            ("on another watch", until(fixed.iter().filter(|(who, _)| *who == id).map(|(_, span)| *span).collect())),
        ];
        let kept = kept.into_iter().find_map(|(what, until)| Some((what, until?)));
        rows.extend(kept.map(|(what, until)| (what, until, person.code.clone())));
    }
    let mut said: Vec<String> = Vec::new();
    while let Some((what, until, _)) = rows.first().cloned() {
        let (same, others): (Vec<_>, Vec<_>) = rows.into_iter().partition(|row| (row.0, row.1) == (what, until));
        let codes: Vec<String> = same.into_iter().map(|row| row.2).collect();
        let be = if codes.len() == 1 { "is" } else { "are" };
        said.push(format!("{} {be} {what} until {}", and(&codes), clock.day_time(until)));
        rows = others;
    }
    let competence = &parts.competences[post.competence].code;
    let why = if said.is_empty() { format!("nobody left holds {competence}") } else { said.join(", ") };
    format!(
        "Nobody is free to stand {} from {} to {}: {why}. Give {competence} to somebody else in crew.toml (`can`), or plan again from when \
         one of them is free.",
        post.code,
        clock.day_time(turn.span.start()),
        clock.day_time(turn.span.end()),
    )
}

/// Who has to bring a part to its end first is not chosen for a turn that begins meanwhile, if others can be.
fn keep_at_work(parts: &mut Parts, start: Moment) {
    let busy: Vec<(Span, &[PersonId])> = parts
        .tasks
        .iter()
        .filter(|task| !matches!(task.stop, Stop::Any { .. }))
        .filter_map(|task| task.under_way.as_ref())
        .filter_map(|going| Some((Span::of(start, parts.grid.length(going.left))?, going.team.as_slice())))
        .collect();
    let at_work = |person: &PersonId, span: Span| busy.iter().any(|(b, team)| b.overlaps(span) && team.contains(person));
    for turn in &mut parts.turns {
        if let Stand::Open(people) = &mut turn.stand {
            let free: Vec<PersonId> = people.iter().copied().filter(|p| !at_work(p, turn.span)).collect();
            if !free.is_empty() {
                *people = free;
            }
        }
    }
}

/// The one person who stands a turn, if that is settled.
fn only(stand: &Stand) -> Option<PersonId> {
    match stand {
        Stand::Fixed(person) => Some(*person),
        Stand::Open(_) => None,
    }
}

/// Duties that are not over, those the log adds among them.
fn duties(
    parts: &Parts,
    whole: &Whole,
    standing: &Standing,
    effects: &Effects,
    start: Moment,
    written: usize,
    notes: &mut Vec<String>,
) -> IdVec<crate::id::DutyId, Duty> {
    let known = whole.known(written, start);
    let added = whole.log.duties.iter().filter(|(entry, _)| known.iter().any(|(p, _)| p == entry)).map(|(_, d)| d.clone());
    let mut duties: Vec<Duty> = Vec::new();
    for mut duty in whole.parts.duties.iter().cloned().chain(added) {
        if let Some((_, _, to)) = effects.moved.iter().find(|(code, n, _)| *code == duty.code && *n == duty.occurrence) {
            let length = match duty.when {
                When::Fixed(span) => span.length(),
                When::Movable { length, .. } => length,
            };
            duty.when = Span::of(*to, length).map_or(duty.when, When::Fixed);
        }
        let Some(when) = left(&duty, standing, start, whole) else { continue };
        let extent = match when {
            When::Fixed(span) => span,
            When::Movable { window, .. } => window,
        };
        let fixed = matches!(when, When::Fixed(_));
        let called = |p: &PersonId| fixed && parts.people[*p].called_after(start).any(|call| call.overlaps(extent));
        let unfit = |p: &PersonId| effects.unfit[*p].iter().any(|u| u.overlaps(extent)) || called(p);
        let (out, who): (Vec<PersonId>, Vec<PersonId>) = duty.who.iter().partition(|p| unfit(p));
        if who.is_empty() && !out.is_empty() {
            notes.push(format!("Nobody is left for duty {} at {}.", duty.code, whole.parts.clock.day_time(extent.start())));
        }
        duties.push(Duty { who, when, ..duty });
    }
    duties.sort_by(|a, b| (&a.code, a.occurrence).cmp(&(&b.code, b.occurrence)));
    duties.into()
}

/// When a duty is still to be done, or goes on; `None` where it is over.
fn left(duty: &Duty, standing: &Standing, start: Moment, whole: &Whole) -> Option<When> {
    let grid = whole.parts.grid;
    match duty.when {
        When::Fixed(span) => from(span, start).map(When::Fixed),
        When::Movable { window, length } => {
            let old = &standing.problem.duties;
            let told = old.find(|d| d.code == duty.code && d.occurrence == duty.occurrence);
            let at = told.and_then(|id| standing.plan.duties.get(id).copied());
            match at.and_then(|at| Span::of(at, length)) {
                Some(span) if span.end() <= start => None,
                Some(span) if span.start() < start => from(span, start).map(When::Fixed),
                // It was placed and done before the plan that stands.
                None if window.start() < standing.problem.start && !is_new(duty, whole) => None,
                Some(_) | None => {
                    let window = from(window, start)?;
                    let room = window.end() - grid.moment(grid.ceil(window.start()));
                    (room >= length && length > Minutes::ZERO).then_some(When::Movable { window, length })
                }
            }
        }
    }
}

/// Whether the log adds the duty.
fn is_new(duty: &Duty, whole: &Whole) -> bool {
    whole.log.duties.iter().any(|(_, d)| d.code == duty.code)
}

/// Modes as they hold, with those the log says in place of those that were laid out.
fn modes(parts: &Parts, effects: &Effects) -> Vec<(Span, ModeId)> {
    let mut modes = parts.mode_spans.clone();
    for (said, mode) in &effects.modes {
        let covered = modes.first().zip(modes.last()).and_then(|(a, b)| said.intersection(a.0.hull(b.0)));
        let mut spans: Vec<(Span, ModeId)> =
            modes.iter().flat_map(|(span, old)| span.without(&[*said]).into_iter().map(|s| (s, *old))).collect();
        spans.extend(covered.map(|s| (s, *mode)));
        spans.sort_unstable();
        modes = spans;
    }
    modes
}
