//! The demonstration job: what it says against the facts of the job, each worked out by hand.

use turnto::input::{Topic, read};
use turnto::model::{Aim, OnWatch, Problem, Stand, Stop, When};
use turnto::time::{Minutes, Moment, Slots, Span};

use crate::reading::{plain, sound};
use crate::support::demo;

/// `day`, `hour`:`minute` by ship's clock.
fn at(day: i32, hour: i32, minute: i32) -> Moment {
    Moment::new(((day - 1) * 24 + hour) * 60 + minute)
}

fn span(day: i32, from: (i32, i32), to: (i32, i32)) -> Span {
    Span::new(at(day, from.0, from.1), at(day, to.0, to.1)).expect("it begins before it ends")
}

fn person<'a>(problem: &'a Problem, code: &str) -> &'a turnto::model::Person {
    problem.people.iter().find(|p| p.code == code).expect("there is such a person")
}

fn task<'a>(problem: &'a Problem, code: &str) -> &'a turnto::model::Task {
    problem.tasks.iter().find(|t| t.code == code).expect("there is such a task")
}

/// If this fails, the demonstration job no longer reads cleanly, or its size or span has changed.
#[test]
fn it_reads_without_a_word() {
    let problem = sound(&demo::folder());
    assert_eq!((problem.tasks.len(), problem.people.len(), problem.tools.len()), (60, 10, 19));
    assert_eq!((problem.start, problem.end), (at(1, 8, 0), at(10, 0, 0)));
    // Three times 8 d 16 h is 26 d after the start: day 27, 08:00. The last midnight before it is 00:00.
    assert_eq!(problem.latest_end, at(27, 0, 0));
    assert!(problem.layout_end >= problem.latest_end + Minutes::new(8 * 24 * 60));
    assert_eq!(problem.clock.stamp(problem.start).to_rfc3339(), "2027-03-01T08:00:00+03:00");
    assert_eq!(problem.aims, Aim::DEFAULT);
}

/// If this fails, hours or teams of a task have changed: 328 labour-hours typical, 238.5 least, 593 most
/// (each task's hours times its people).
#[test]
fn labour_hours_add_up() {
    let problem = demo::problem();
    let total = |pick: fn(&turnto::model::Estimate) -> Minutes| -> i32 {
        problem.tasks.iter().map(|t| pick(&t.hours).get() * i32::try_from(t.needs.len()).expect("few")).sum()
    };
    assert_eq!(total(|h| h.typical), 328 * 60);
    assert_eq!(total(|h| h.least), 477 * 30);
    assert_eq!(total(|h| h.most), 593 * 60);
}

/// If this fails, the longest chain with people without limit, day and night, is no longer 77.5 h, running
/// through the soaking tank: an order, a wait or a length has changed.
#[test]
fn the_longest_chain_is_as_worked_out() {
    let problem = demo::problem();
    let mut ends = vec![0; problem.tasks.len()];
    for id in problem.order() {
        let task = &problem.tasks[*id];
        let start = task.after.iter().map(|a| ends[index(a.task)] + a.lag.get()).max().unwrap_or(0);
        ends[index(*id)] = start + problem.grid.length(task.length).get();
    }
    assert_eq!(ends.iter().max(), Some(&(155 * 30)));
}

fn index(task: turnto::id::TaskId) -> usize {
    turnto::id::Id::index(task)
}

/// If this fails, ordinary hours, breaks or overtime are laid out wrongly.
#[test]
fn days_are_laid_out() {
    let problem = demo::problem();
    // The fitter: 08-12 and 13-18 joined across lunch, overtime 18-20.
    let fitter = person(&problem, "FT");
    let second = &fitter.stretches[1];
    assert_eq!(second.ordinary, [span(2, (8, 0), (12, 0)), span(2, (13, 0), (18, 0))]);
    assert_eq!(second.overtime, [span(2, (18, 0), (20, 0))]);
    assert_eq!((fitter.evenings, fitter.job_cap), (Some(2), None));
    // Lunch is a break for him, on the days of the record too.
    assert!(fitter.breaks.contains(&span(1, (12, 0), (13, 0))));
    assert!(fitter.breaks.contains(&span(-7, (12, 0), (13, 0))));
    // The assistant works 08-13, so lunch is no break for him.
    assert!(person(&problem, "AE").breaks.is_empty());
    assert_eq!(person(&problem, "CE").job_cap, Some(Minutes::hours(4)));
    // The first stretch of everybody begins at the start; laid out to the end.
    for person in problem.people.iter() {
        assert!(person.stretches[0].hull().start() >= problem.start);
        assert!(person.stretches[person.stretches.len() - 1].hull().end() > problem.latest_end);
    }
}

/// If this fails, watches are not laid out as the lines say, or the cover on day 3 does not split the watch.
#[test]
fn watches_and_covers_are_laid_out() {
    let problem = demo::problem();
    let post = problem.posts.find(|p| p.code == "OOW").expect("there is such a post");
    let turns: Vec<_> = problem.turns.iter().filter(|t| t.post == post).collect();
    let who = |stand: &Stand| match stand {
        Stand::Fixed(p) => problem.people[*p].code.clone(),
        Stand::Open(list) => list.iter().map(|p| problem.people[*p].code.as_str()).collect::<Vec<_>>().join("/"),
    };
    let day3: Vec<(String, Span)> =
        turns.iter().filter(|t| t.span.start() >= at(3, 4, 0) && t.span.end() <= at(3, 16, 0)).map(|t| (who(&t.stand), t.span)).collect();
    assert_eq!(
        day3,
        [
            ("AE".to_owned(), span(3, (4, 0), (8, 0))),
            ("4E".to_owned(), span(3, (8, 0), (9, 30))),
            ("3E/AE".to_owned(), span(3, (9, 30), (12, 0))),
            ("3E".to_owned(), span(3, (12, 0), (16, 0))),
        ]
    );
    assert_eq!(turns[0].span, span(1, (8, 0), (12, 0)));
    assert_eq!(problem.posts[post].attends, 1);
}

/// If this fails, a duty is read wrongly: who, when, whether it may be left, how it meets the watch.
#[test]
fn duties_are_laid_out() {
    let problem = demo::problem();
    let duties = |code: &str| problem.duties.iter().filter(|d| d.code == code).collect::<Vec<_>>();
    let codes = |d: &turnto::model::Duty| d.who.iter().map(|p| problem.people[*p].code.as_str()).collect::<Vec<_>>().join(" ");
    let bunkering = duties("bunkering");
    assert_eq!(bunkering.len(), 1);
    assert_eq!(bunkering[0].when, When::Fixed(span(3, (9, 30), (16, 0))));
    assert_eq!((codes(bunkering[0]).as_str(), bunkering[0].leavable, bunkering[0].on_watch), ("4E M2", false, OnWatch::Clash));
    assert_eq!(bunkering[0].bans.len(), 1);
    let cleaning = duties("separator");
    let window = Span::new(at(1, 13, 30), at(3, 15, 30)).expect("two days");
    assert_eq!(cleaning[0].when, When::Movable { window, length: Minutes::hours(2) });
    // The toolbox talk is daily from day 1 on, everybody's but the watch's.
    let talks = duties("toolbox");
    assert_eq!((talks[0].when, talks[0].occurrence), (When::Fixed(span(1, (8, 0), (8, 30))), 1));
    assert_eq!((talks[0].who.len(), talks[0].on_watch), (10, OnWatch::Excused));
    assert_eq!(talks[8].when, When::Fixed(span(9, (8, 0), (8, 30))));
    // Saturdays: day 6 first, day 13 next.
    let tests = duties("emergency-set");
    assert_eq!(tests[0].when, When::Fixed(span(6, (10, 0), (10, 30))));
    assert_eq!(tests[1].when, When::Fixed(span(13, (10, 0), (10, 30))));
    assert!(duties("drill")[0].drill && duties("arrival")[0].all_hands);
    assert_eq!(duties("boiler-round")[0].on_watch, OnWatch::DoneOnWatch);
}

/// If this fails, a task is read wrongly.
#[test]
fn tasks_say_what_they_said() {
    let problem = demo::problem();
    let name = |p: usize, t: &turnto::model::Task| problem.competences[t.needs[p]].code.clone();
    let a44 = task(&problem, "A44");
    assert_eq!([name(0, a44), name(1, a44), name(2, a44)], ["LEAD", "HYD", "LIFT"]);
    assert_eq!((a44.stop, a44.length, a44.same.as_slice()), (Stop::Parts(3), Slots::new(6), &[0][..]));
    // Tensioning is not paused over lunch; lifting alone is.
    assert!(!a44.pauses && task(&problem, "A12").pauses);
    let a46 = task(&problem, "A46");
    let others: Vec<&str> = a46.different.iter().map(|d| problem.tasks[d.other].code.as_str()).collect();
    assert_eq!((a46.different[0].need, others), (1, vec!["A44", "A45"]));
    // Three slots of cleaning and no people: A59 runs eight hours by itself, looked after by the watch.
    let a59 = task(&problem, "A59");
    assert!(a59.unmanned() && a59.attended_by.is_some());
    assert_eq!((a59.stop, a59.length), (Stop::Never, Slots::new(16)));
    // The tank is held from A20 to A22 and from A21 to A23, and not taken once more by any of the four.
    let holds: Vec<(&str, &str, &str)> = problem
        .holds
        .iter()
        .map(|h| (problem.tools[h.tool].code.as_str(), problem.tasks[h.fill.unwrap()].code.as_str(), problem.tasks[h.empty].code.as_str()))
        .collect();
    assert_eq!(holds, [("SOAK", "A20", "A22"), ("SOAK", "A21", "A23"), ("TUB", "A27", "A28")]);
    assert!(task(&problem, "A22").tools.is_empty());
    let g2 = problem.units.find(|u| u.code == "G2").expect("there is such a machine");
    assert_eq!((task(&problem, "A05").takes_out.as_slice(), task(&problem, "A60").hands_back.as_slice()), (&[g2][..], &[g2][..]));
}

/// If this fails, modes or the reserve are read wrongly.
#[test]
fn modes_and_reserve() {
    let problem = demo::problem();
    let mode = |moment: Moment| problem.modes[problem.mode_at(moment).expect("there is always a mode")].clone();
    let spans = [(at(1, 8, 0), "anchor"), (at(3, 9, 30), "bunkering"), (at(3, 16, 0), "anchor"), (at(5, 15, 30), "drill")];
    for (moment, code) in spans.into_iter().chain([(at(9, 15, 0), "arrival"), (at(9, 18, 0), "alongside"), (at(30, 0, 0), "alongside")]) {
        assert_eq!(mode(moment).code, code);
    }
    let generators = problem.groups.find(|g| g.code == "GEN").expect("there is such a group");
    let needed = |moment| mode(moment).needs.iter().find(|(g, _)| *g == generators).map(|(_, n)| *n);
    assert_eq!((needed(at(1, 8, 0)), needed(at(9, 16, 0))), (Some(2), Some(3)));
    let reserve = mode(at(1, 8, 0)).reserve.expect("there is a reserve at anchor");
    let kinds: Vec<(&str, u32)> = reserve.kinds.iter().map(|k| (k.code.as_str(), k.number)).collect();
    assert_eq!(kinds, [("OOW", 1), ("GEN", 1)]);
    assert_eq!(
        (reserve.call, reserve.unbooked, reserve.hours),
        (Minutes::hours(2), Minutes::hours(6), (Minutes::hours(8), Minutes::hours(18)))
    );
    assert!(mode(at(9, 16, 0)).reserve.is_none());
}

/// If this fails, recorded hours go astray: 164 rows, complete from day -7, 00:00, for everybody.
#[test]
fn recorded_hours_are_complete() {
    let problem = demo::problem();
    assert_eq!(problem.people.iter().map(|p| p.recorded.len()).sum::<usize>(), 164);
    assert!(problem.people.iter().all(|p| p.recorded_from == Some(at(-7, 0, 0))));
    let third = person(&problem, "3E");
    assert_eq!(third.recorded[16].span, span(1, (0, 0), (4, 0)));
}

/// If this fails, later messages point at the wrong line of the job folder.
#[test]
fn things_know_where_they_are_written() {
    let reading = read(&demo::folder());
    assert_eq!(plain(&reading), Vec::<String>::new());
    let origin = reading.origins.get(Topic::Task, "A12").expect("it is written somewhere");
    assert_eq!(origin.path, "tasks.toml");
    let text = reading.sources.text(origin.place.file);
    assert_eq!(text.lines().nth(origin.line - 1), Some("[task.A12]"));
    for (topic, code) in [(Topic::Person, "3E"), (Topic::Duty, "drill"), (Topic::Post, "WR"), (Topic::Milestone, "G2-back")] {
        assert!(reading.origins.get(topic, code).is_some(), "{code}");
    }
}

/// If this fails, a file of the demonstration job no longer prints on narrow paper.
#[test]
fn it_prints_in_eighty_columns() {
    for file in demo::folder().files() {
        let text = String::from_utf8(file.bytes.clone()).expect("it is text");
        assert!(text.lines().all(|line| line.chars().count() <= 80), "{}", file.path);
    }
}
