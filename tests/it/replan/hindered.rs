//! What is not logged counts as done as planned only as far as the log leaves room for it.

use turnto::id::{PersonId, TaskId};
use turnto::model::Stop;
use turnto::plan::Spell;
use turnto::replan::Remainder;
use turnto::time::{Minutes, Moment, Span};

use crate::replan::stage::{at, demo_plan, left, replanned, task, with_log};

fn entry(when: Moment, rest: &str) -> String {
    format!("[[entry]]\nat = \"{}\"\n{rest}\n", demo_plan().0.clock.day_time(when))
}

fn code(task: TaskId) -> &'static str {
    &demo_plan().0.tasks[task].code
}

fn spells(task: TaskId) -> impl Iterator<Item = &'static Spell> {
    demo_plan().1.spells.iter().filter(move |s| s.task == task)
}

/// Minutes of `task` that lie in `window`, by the past of `rest`.
fn done(rest: &Remainder, task: TaskId, window: Span) -> Minutes {
    let work = rest.past.spells.iter().filter(|s| s.task == task).flat_map(|s| &s.work);
    work.filter_map(|w| w.intersection(window)).map(Span::length).sum()
}

/// Minutes in which a person was at work in `window`, by the past of `rest`.
fn at_work(rest: &Remainder, person: PersonId, window: Span) -> Minutes {
    rest.past.rows[person].iter().filter_map(|r| r.span.intersection(window)).map(Span::length).sum()
}

fn said(rest: &Remainder, words: &[&str]) -> bool {
    rest.notes.iter().any(|note| words.iter().all(|word| note.contains(word)))
}

/// A spell of two hours or more in one piece by somebody, of a task that may stop anywhere, or not.
fn long(anywhere: bool) -> &'static Spell {
    let (problem, plan) = demo_plan();
    let long = |s: &&Spell| s.work.len() == 1 && s.span().length() >= Minutes::hours(2) && !s.team.is_empty();
    let mine = |s: &&Spell| matches!(problem.tasks[s.task].stop, Stop::Any { .. }) == anywhere;
    plan.spells.iter().filter(mine).find(long).expect("there is one")
}

/// If this fails, a task is in hand although what it comes after is not done, and no plan is found since the two wait for
/// each other.
#[test]
fn what_comes_after_a_task_that_is_not_done_has_not_begun() {
    let problem = &demo_plan().0;
    let mut tried = 0;
    for (id, row) in problem.tasks.pairs() {
        let Some(start) = spells(id).map(|s| s.span().start()).min() else { continue };
        for after in &row.after {
            let end = spells(after.task).map(|s| s.span().end()).max().expect("everything is planned");
            if start - (end + after.lag) > Minutes::hours(1) {
                continue;
            }
            let now = start + Minutes::new(30);
            let (whole, standing) = with_log(&entry(now, &format!("what = \"to_go\"\ntask = \"{}\"\nhours = 1", code(after.task))));
            let rest = left(&whole, &standing, now);
            assert!(!rest.left[id].begun && rest.left[id].under_way.is_none(), "{}", row.code);
            assert!(said(&rest, &[&row.code, code(after.task), "not begun"]), "{:?}", rest.notes);
            replanned(&rest);
            tried += 1;
        }
    }
    assert!(tried >= 10, "{tried} pairs of the demonstration job follow closely on each other");
}

/// If this fails, a task that is dropped counts as worked on as told although what it comes after was not done.
#[test]
fn what_is_dropped_was_not_worked_on_where_there_was_no_room_for_it() {
    let problem = &demo_plan().0;
    let mut tried = 0;
    for (id, row) in problem.tasks.pairs().filter(|(_, row)| !row.needs.is_empty()) {
        let Some(start) = spells(id).map(|s| s.span().start()).min() else { continue };
        let Some(after) = row.after.first().filter(|_| row.after.len() == 1) else { continue };
        let before = spells(after.task).map(|s| s.span().start()).max().expect("everything is planned");
        let now = start + Minutes::hours(1);
        let to_go = entry(before, &format!("what = \"to_go\"\ntask = \"{}\"\nhours = 100", code(after.task)));
        let dropped = entry(now, &format!("what = \"dropped\"\ntask = \"{}\"", row.code));
        let (whole, standing) = with_log(&(to_go + &dropped));
        let rest = left(&whole, &standing, now);
        assert!(rest.past.spells.iter().all(|s| s.task != id), "{}", row.code);
        assert!(said(&rest, &[&row.code, code(after.task), "not begun"]), "{:?}", rest.notes);
        tried += 1;
    }
    assert!(tried >= 10, "{tried} tasks of the demonstration job come after one other");
}

/// If this fails, what was begun out of order, by the log, has to wait while it goes on, and there is no plan.
#[test]
fn what_the_log_says_is_under_way_goes_on_in_whatever_order() {
    let (problem, _) = demo_plan();
    let pair = problem.tasks.pairs().find_map(|(id, row)| {
        let first = spells(id).min_by_key(|s| s.span())?;
        let after = row.after.first().filter(|_| first.span().length() >= Minutes::hours(1) && !first.team.is_empty())?;
        Some((id, after.task, first.span().start()))
    });
    let (id, after, start) = pair.expect("there is one");
    let now = start + Minutes::new(30);
    let both = [
        entry(start, &format!("what = \"started\"\ntask = \"{}\"", code(id))),
        entry(now, &format!("what = \"to_go\"\ntask = \"{}\"\nhours = 1", code(after))),
    ];
    let (whole, standing) = with_log(&both.concat());
    let rest = left(&whole, &standing, now);
    assert!(rest.left[id].under_way.is_some());
    assert!(said(&rest, &[code(id), code(after), "goes on"]), "{:?}", rest.notes);
    let verified = replanned(&rest);
    let own = task(&rest.problem, code(id)).expect("it is not done");
    assert_eq!(verified.plan().spells.iter().filter(|s| s.task == own).map(|s| s.span().start()).min(), Some(now));
    // And once more from there, when nobody says it again.
    let later = now + Minutes::new(30);
    let written = rest.entries;
    let standing = rest.with(verified.plan().clone());
    let again = turnto::replan::remainder(&whole, &standing, later, written).expect("something is left");
    assert!(!said(&again, &[code(id), "not begun"]), "{:?}", again.notes);
}

/// If this fails, somebody who was ill did his work all the same, and nobody has to do it again.
#[test]
fn nobody_works_who_is_unfit() {
    for anywhere in [true, false] {
        let spell = long(anywhere);
        let (from, to) = (spell.span().start() + Minutes::hours(1), spell.span().end());
        let who = spell.team[0];
        let ill =
            format!("what = \"unfit\"\nperson = \"{}\"\nuntil = \"{}\"", demo_plan().0.people[who].code, demo_plan().0.clock.day_time(to));
        let (whole, standing) = with_log(&entry(from, &ill));
        let rest = left(&whole, &standing, to);
        let window = Span::new(from, to).expect("an hour and more");
        assert_eq!(done(&rest, spell.task, window), Minutes::ZERO, "{}", code(spell.task));
        assert_eq!(at_work(&rest, who, window), Minutes::ZERO);
        assert!(rest.left[spell.task].is_open());
        assert!(said(&rest, &[code(spell.task), &demo_plan().0.people[who].code]), "{:?}", rest.notes);
        replanned(&rest);
    }
}

/// If this fails, a task that nobody was at counts as begun once its person is free, or the reader is told that it makes room
/// where it simply was not done.
#[test]
fn what_was_not_begun_in_time_is_not_begun_since_somebody_is_free() {
    let (problem, plan) = demo_plan();
    let alone = |s: &&Spell| spells(s.task).count() == 1 && matches!(problem.tasks[s.task].stop, Stop::Any { .. });
    let spell =
        plan.spells.iter().filter(alone).find(|s| s.work.len() == 1 && s.span().length() >= Minutes::hours(1) && !s.team.is_empty());
    let spell = spell.expect("there is one");
    let (from, to) = (spell.span().start(), spell.span().start() + Minutes::new(30));
    let ill = format!("what = \"unfit\"\nperson = \"{}\"\nuntil = \"{}\"", problem.people[spell.team[0]].code, problem.clock.day_time(to));
    let (whole, standing) = with_log(&entry(from, &ill));
    let rest = left(&whole, &standing, to);
    assert!(!rest.left[spell.task].begun && rest.left[spell.task].under_way.is_none());
    let own = task(&rest.problem, code(spell.task)).expect("it is not done");
    assert_eq!(rest.undone, [own]);
    let changes = turnto::replan::changes(&whole, &rest, replanned(&rest).plan());
    let change = changes.tasks.iter().find(|c| c.task == own).expect("it is done at another time");
    assert_eq!(change.reason, turnto::replan::Reason::Undone);
}

/// If this fails, work goes on with a tool that is gone.
#[test]
fn nothing_is_done_with_a_tool_that_is_gone() {
    let (problem, plan) = demo_plan();
    let with_tool = |s: &&Spell| !problem.tasks[s.task].tools.is_empty() && s.work.len() == 1;
    let spell = plan.spells.iter().find(with_tool).expect("there is one");
    let (tool, span) = (problem.tasks[spell.task].tools[0].0, spell.span());
    let gone = format!("what = \"gone\"\ntool = \"{}\"\nuntil = \"{}\"", problem.tools[tool].code, problem.clock.day_time(span.end()));
    let (whole, standing) = with_log(&entry(span.start(), &gone));
    let rest = left(&whole, &standing, span.end());
    assert_eq!(done(&rest, spell.task, span), Minutes::ZERO);
    assert!(said(&rest, &[code(spell.task), &problem.tools[tool].code]), "{:?}", rest.notes);
    replanned(&rest);
}

/// If this fails, somebody is at two tasks at a time, or is called out and at work.
#[test]
fn nobody_is_at_what_was_told_while_the_log_has_him_elsewhere() {
    let problem = &demo_plan().0;
    let spell = long(true);
    let (from, to, who) = (spell.span().start(), spell.span().start() + Minutes::hours(1), spell.team[0]);
    let until = problem.clock.day_time(to);
    let call = format!("what = \"call\"\nperson = \"{}\"\nto = \"{until}\"", problem.people[who].code);
    let (whole, standing) = with_log(&entry(from, &call));
    let rest = left(&whole, &standing, to);
    assert_eq!(done(&rest, spell.task, Span::new(from, to).expect("an hour")), Minutes::ZERO);
    assert!(said(&rest, &[code(spell.task), &problem.people[who].code]), "{:?}", rest.notes);
    // What the log says was begun stands against what was only told.
    let other = problem.tasks.pairs().find(|(id, row)| {
        *id != spell.task
            && row.needs.len() == 1
            && problem.people[who].holds(row.needs[0])
            && spells(*id).all(|s| s.span().start() >= at(5, 0, 0))
    });
    let (other, _) = other.expect("there is one");
    let begun = format!("what = \"started\"\ntask = \"{}\"\nby = [\"{}\"]", code(other), problem.people[who].code);
    let (whole, standing) = with_log(&entry(from, &begun));
    let rest = left(&whole, &standing, from + Minutes::new(30));
    let window = Span::new(from, from + Minutes::new(30)).expect("half an hour");
    assert_eq!((done(&rest, spell.task, window), done(&rest, other, window)), (Minutes::ZERO, Minutes::new(30)));
    assert_eq!(at_work(&rest, who, window), Minutes::new(30));
}

/// If this fails, a plan is not told to those whose work falls away.
#[test]
fn work_that_falls_away_is_a_change_for_those_who_were_to_do_it() {
    let (problem, plan) = demo_plan();
    let spell =
        plan.spells.iter().filter(|s| s.work.len() == 1 && !s.team.is_empty()).max_by_key(|s| s.span().length()).expect("there is one");
    let now = spell.span().start() + Minutes::hours(1);
    for what in ["done", "dropped"] {
        let (whole, standing) = with_log(&entry(now, &format!("what = \"{what}\"\ntask = \"{}\"", code(spell.task))));
        let rest = left(&whole, &standing, now);
        let told = rest.problem.told.clone().expect("people were told");
        let changes = turnto::replan::changes(&whole, &rest, &told);
        let row = changes.gone.iter().find(|row| row.task == spell.task).expect("it falls away");
        assert_eq!((row.was.start(), row.entry), (now, Some(0)));
        for person in &spell.team {
            let change = changes.people.iter().find(|c| c.person == *person).expect("he has no more to do there");
            let piece = change.pieces.first().expect("a piece");
            assert_eq!(
                (piece.was, piece.now),
                (turnto::replan::Act::Gone(spell.task), turnto::replan::Act::Free),
                "{}",
                problem.people[*person].code
            );
        }
    }
}

/// If this fails, the same is said of a task once for each of its parts.
#[test]
fn what_is_not_done_of_a_task_in_parts_is_said_once() {
    let (problem, _) = demo_plan();
    let several = |id: &TaskId| spells(*id).count() > 1 && !problem.tasks[*id].after.is_empty();
    let mut tried = 0;
    for id in problem.tasks.ids().filter(several) {
        let (after, now) = (problem.tasks[id].after[0].task, spells(id).map(|s| s.span().end()).max().expect("it is planned"));
        let begun = spells(after).map(|s| s.span().start()).min().expect("it is planned");
        let Some(begun) = Some(begun + Minutes::new(30)).filter(|at| spells(id).all(|s| s.span().start() >= *at)) else { continue };
        let (whole, standing) = with_log(&entry(begun, &format!("what = \"to_go\"\ntask = \"{}\"\nhours = 400", code(after))));
        let rest = left(&whole, &standing, now);
        let notes: Vec<&String> = rest.notes.iter().filter(|note| note.starts_with(&format!("Task {}, told for", code(id)))).collect();
        assert_eq!(notes.len(), 1, "{notes:?}");
        let told = spells(id).filter(|s| s.span().start() < now).count();
        assert!(told > 1 && notes[0].matches("day ").count() == told && notes[0].contains(" and day "), "{notes:?}");
        tried += 1;
    }
    assert!(tried >= 3, "{tried}");
}

/// If this fails, the officer is told that a watch cannot be stood, and not who might stand it, what keeps each of them from it
/// for how long, and what can be done.
#[test]
fn a_watch_that_nobody_is_free_to_stand_is_told_with_who_and_until_when() {
    let call = |who: &str, to: &str| entry(at(4, 0, 30), &format!("what = \"call\"\nperson = \"{who}\"\nto = \"{to}\""));
    // The three who may stand the watch of a rating.
    let log = [call("M1", "day 4 06:00"), call("W1", "day 4 06:00"), call("M2", "day 4 03:00")].concat();
    let (whole, standing) = with_log(&log);
    let rest = left(&whole, &standing, at(4, 0, 30));
    let words = "Nobody is free to stand WR from day 4 00:30 to day 4 04:00: M1 and W1 are called out until day 4 06:00, M2 is called out \
                 until day 4 03:00.";
    assert!(said(&rest, &[words, "Give WR to somebody else in crew.toml", "plan again from when one of them is free"]), "{:?}", rest.notes);
}

/// If this fails, a tool that is lost while it is held through a wait ends in a fault, or is held on by a plan, or what it is
/// needed for is done without it.
#[test]
fn a_held_tool_that_is_gone_is_not_held_any_more() {
    let (problem, plan) = demo_plan();
    let hold = problem.holds.iter().find(|h| problem.tools[h.tool].number == 1).expect("the soaking tank");
    let ends = |task| plan.spells.iter().filter(move |s| Some(s.task) == task).map(|s| s.span().end()).max().expect("it is done");
    let begins = plan.spells.iter().filter(|s| s.task == hold.empty).map(|s| s.span().start()).min().expect("it is done");
    let filled = problem.grid.moment(problem.grid.ceil(ends(hold.fill)));
    assert!(filled + Minutes::hours(2) <= begins, "it waits");
    let (clock, tool) = (&problem.clock, &problem.tools[hold.tool].code);
    let day = |moment| clock.day_time(moment);
    // Lost now, for a day: what is in it waits.
    let (now, back) = (filled + Minutes::hours(1), filled + Minutes::hours(25));
    let gone = |from, until| {
        let (at, from, until) = (day(now), day(from), day(until));
        format!("[[entry]]\nat = \"{at}\"\nwhat = \"gone\"\ntool = \"{tool}\"\nfrom = \"{from}\"\nuntil = \"{until}\"\n")
    };
    let empties = |rest: &Remainder| {
        let id = task(&rest.problem, &problem.tasks[hold.empty].code).expect("it is not done");
        replanned(rest).plan().spells.iter().filter(|s| s.task == id).map(|s| s.span().start()).min().expect("it is planned")
    };
    let (whole, standing) = with_log(&gone(now, back));
    let rest = left(&whole, &standing, now);
    assert!(rest.notes.iter().any(|n| n.starts_with(&format!("{tool} cannot be had and is not held any more"))), "{:?}", rest.notes);
    assert!(empties(&rest) >= back);
    // Lost in a while: what is in it is out by then.
    let later = ends(Some(hold.empty));
    let (whole, standing) = with_log(&gone(later, later + Minutes::hours(24)));
    assert!(empties(&left(&whole, &standing, now)) < later);
}

/// If this fails, a part under way has to go on with somebody who was called out all night, no plan keeps his rest, and it is
/// said that none was found; or one that he may bring to its end is broken off.
#[test]
fn who_is_due_rest_does_not_bring_a_part_to_its_end() {
    let problem = &demo_plan().0;
    let (mut broken_off, mut went_on) = (0, 0);
    for spell in &demo_plan().1.spells {
        let start = spell.span().start();
        let may_stop = matches!(problem.tasks[spell.task].stop, Stop::Any { .. });
        let day = problem.clock.day(start);
        // On the last days everybody stands by for arrival, called out or not.
        if may_stop || start > problem.clock.at(day, Minutes::hours(11)) || !(2..=7).contains(&day.number()) {
            continue;
        }
        let no_watch = |p: &&PersonId| ["EO", "FT", "2E"].contains(&problem.people[**p].code.as_str());
        let Some(person) = spell.team.iter().find(no_watch) else { continue };
        let now = start + Minutes::new(30);
        for (from, to) in [(20 * 60, 31 * 60), (20 * 60, 20 * 60 + 30)] {
            let eve = problem.clock.at(day, Minutes::ZERO) - Minutes::DAY;
            let (called, back) = (eve + Minutes::new(from), eve + Minutes::new(to));
            let until = problem.clock.day_time(back);
            let call = entry(called, &format!("what = \"call\"\nperson = \"{}\"\nto = \"{until}\"", problem.people[*person].code));
            let (whole, standing) = with_log(&call);
            let rest = left(&whole, &standing, now);
            let here = rest.tasks.find(|whole| *whole == spell.task);
            let going = here.is_some_and(|here| rest.problem.tasks[here].under_way.is_some());
            if to > 24 * 60 {
                assert!(!going, "{} goes on after a night's work", code(spell.task));
                assert!(said(&rest, &[code(spell.task), "without the rest that is due"]), "{:?}", rest.notes);
                broken_off += 1;
            } else {
                went_on += i32::from(going);
            }
            replanned(&rest);
        }
    }
    assert!(broken_off >= 2 && went_on >= 1, "{broken_off} broken off, {went_on} went on");
}
