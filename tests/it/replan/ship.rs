//! What a remainder takes over of the ship: how long a group has been short, and posts that go by the mode.

use turnto::id::PersonId;
use turnto::input::read;
use turnto::model::{Problem, Stand, Turn};
use turnto::replan::{Standing, Whole};
use turnto::time::{Minutes, Moment, Span};
use turnto::verify::verify;

use crate::replan::stage::{at, demo_plan, first_plan, left, replanned, with_log};
use crate::support::demo;

fn short_before(log: &str, now: Moment) -> Option<Span> {
    let (whole, standing) = with_log(log);
    let rest = left(&whole, &standing, now);
    rest.problem.groups.iter().find(|g| g.code == "FPUR").expect("there are separators").short_before
}

fn entry(when: &str, rest: &str) -> String {
    format!("[[entry]]\nat = \"{when}\"\n{rest}\n")
}

/// If this fails, the service tank is thought full each time the job is planned again. It lasts 14 hours without a
/// separator and takes 4 to fill; one of the two is needed.
#[test]
fn how_long_a_group_has_been_short_is_taken_over() {
    let first = entry("day 3 00:10", "what = \"out\"\nunit = \"FP1\"");
    let both = first.clone() + &entry("day 3 04:10", "what = \"out\"\nunit = \"FP2\"\nuntil = \"day 3 22:00\"");
    assert_eq!(short_before(&first, at(3, 10, 0)), None, "one is enough");
    assert_eq!(short_before(&both, at(3, 4, 0)), None, "it has not happened yet");
    assert_eq!(short_before(&both, at(3, 10, 0)), Span::new(at(3, 4, 10), at(3, 10, 0)));
    let back = both.clone() + &entry("day 3 10:00", "what = \"back\"\nunit = \"FP2\"");
    assert_eq!(short_before(&back, at(3, 12, 0)), Span::new(at(3, 4, 10), at(3, 10, 0)), "two hours do not fill it");
    assert_eq!(short_before(&back, at(3, 14, 0)), None, "four do");
    // Out again before it was full: what it was short before counts on.
    let again = back + &entry("day 3 12:00", "what = \"out\"\nunit = \"FP2\"\nuntil = \"day 3 22:00\"");
    assert_eq!(short_before(&again, at(3, 13, 0)), Span::new(at(3, 4, 10), at(3, 13, 0)));
    // The tank is empty at 18:10 and the slots from 18:00 to 22:00 are short, one machine of weight 1 each.
    let (whole, standing) = with_log(&both);
    let rest = left(&whole, &standing, at(3, 10, 0));
    assert_eq!(replanned(&rest).account().machinery_shortfall, 8);
}

/// When a machine is out in the plan of what is left from `now` on, by the rows of its group.
fn out(log: &str, group: &str, unit: &str, now: Moment) -> Vec<Span> {
    let (whole, standing) = with_log(log);
    let rest = left(&whole, &standing, now);
    let problem = &rest.problem;
    let (group, unit) = (problem.groups.find(|g| g.code == group), problem.units.find(|u| u.code == unit).expect("there is one"));
    let verified = replanned(&rest);
    let mut spans: Vec<Span> = Vec::new();
    for row in verified.account().machinery.iter().filter(|row| Some(row.group) == group && row.out.contains(&unit)) {
        match spans.last_mut() {
            Some(last) if last.end() == row.span.start() => *last = last.hull(row.span),
            _ => spans.push(row.span),
        }
    }
    spans
}

/// If this fails, a set that broke down counts as able until its repair begins, where the task of the repair says that it
/// takes it out.
#[test]
fn a_broken_machine_is_out_until_its_repair_has_handed_it_back() {
    let repair = "[entry.add.R1]\ntext = \"Repair\"\nneeds = \"GEN\"\nhours = 2\nnot_before = \"day 5 13:00\"\n";
    for says in ["hands_back = \"G4\"\n", "takes_out = \"G4\"\nhands_back = \"G4\"\n"] {
        let log = entry("day 4 14:20", "what = \"out\"\nunit = \"G4\"") + repair + says;
        let spans = out(&log, "GEN", "G4", at(4, 14, 30));
        assert_eq!(spans.len(), 1, "{says}");
        assert_eq!(spans[0].start(), at(4, 14, 30), "{says}");
        assert!(spans[0].end() >= at(5, 15, 0) && spans[0].end() < at(9, 18, 0), "{says}");
        // Once it is repaired, it is able.
        let done =
            log + &entry("day 5 13:00", "what = \"started\"\ntask = \"R1\"") + &entry("day 5 15:00", "what = \"done\"\ntask = \"R1\"");
        assert_eq!(out(&done, "GEN", "G4", at(5, 16, 0)), [], "{says}");
    }
}

/// If this fails, cleaning a separator as planned mends one that is broken. In the demonstration job it is cleaned on one of
/// the first days, out for two hours.
#[test]
fn what_the_job_has_for_a_machine_anyway_does_not_mend_it() {
    let broken = entry("day 1 10:00", "what = \"out\"\nunit = \"FP1\"");
    let spans = out(&broken, "FPUR", "FP1", at(1, 10, 30));
    assert!(matches!(spans[..], [span] if span.start() == at(1, 10, 30) && span.end() > at(9, 10, 0)), "{spans:?}");
    let until = entry("day 1 10:00", "what = \"out\"\nunit = \"FP1\"\nuntil = \"day 1 11:00\"");
    let spans = out(&until, "FPUR", "FP1", at(1, 10, 30));
    assert_eq!((spans.len(), spans[0]), (2, Span::new(at(1, 10, 30), at(1, 11, 0)).unwrap()));
    assert_eq!(spans[1].length(), Minutes::hours(2));
}

/// If this fails, a machine that was repaired is out again as soon as the log adds anything else for it; or one that broke
/// down a second time counts as out in between.
#[test]
fn a_repaired_machine_is_able_whatever_the_log_adds_later() {
    let repair = |code: &str| format!("[entry.add.{code}]\ntext = \"Repair\"\nneeds = \"GEN\"\nhours = 2\nhands_back = \"FP1\"\n");
    let done = |code: &str, from: &str, to: &str| {
        entry(from, &format!("what = \"started\"\ntask = \"{code}\"")) + &entry(to, &format!("what = \"done\"\ntask = \"{code}\""))
    };
    let first = entry("day 3 00:10", "what = \"out\"\nunit = \"FP1\"") + &repair("R1") + &done("R1", "day 3 08:00", "day 3 10:00");
    let service = "[entry.add.R3]\ntext = \"Service\"\nneeds = \"GEN\"\nhours = 2\nnot_before = \"day 6 08:00\"\n";
    let later = first.clone() + &entry("day 3 12:00", "what = \"note\"") + service + "takes_out = \"FP1\"\nhands_back = \"FP1\"\n";
    let spans = out(&later, "FPUR", "FP1", at(3, 13, 0));
    assert!(spans.iter().all(|span| span.start() >= at(6, 8, 0)), "{spans:?}");
    assert_eq!(spans.len(), 1);
    // Nor does it wait for the service where it breaks down once more, and is repaired, before that.
    let before =
        later + &entry("day 3 14:00", "what = \"out\"\nunit = \"FP1\"") + &repair("R4") + &done("R4", "day 3 14:00", "day 3 16:00");
    let spans = out(&before, "FPUR", "FP1", at(3, 16, 30));
    assert!(spans.iter().all(|span| span.start() >= at(6, 8, 0)), "{spans:?}");
    // Out again, with its repair still to come: it was able in between, so the group has been short since then only.
    let again = first + &entry("day 3 11:00", "what = \"out\"\nunit = \"FP2\"\nuntil = \"day 3 22:00\"");
    let again = again + &entry("day 3 12:00", "what = \"out\"\nunit = \"FP1\"") + &repair("R2");
    assert_eq!(short_before(&again, at(3, 12, 30)), Span::new(at(3, 12, 0), at(3, 12, 30)));
    let again = again + &done("R2", "day 3 13:00", "day 3 15:00");
    assert_eq!(short_before(&again, at(3, 16, 0)), Span::new(at(3, 12, 0), at(3, 15, 0)));
}

/// If this fails, work that takes machines out is forgotten as soon as it is under way. With three sets needed, the
/// two hours that are allowed without the third begin when G2 is stopped, and not when planning begins anew.
#[test]
fn work_that_takes_a_machine_out_counts_from_when_it_began() {
    let (base, plan) = demo_plan();
    let text = |name: &str| String::from_utf8(std::fs::read(crate::source::top().join("demo-crew").join(name)).unwrap()).unwrap();
    let machinery = text("machinery.toml").replace("name  = \"Generators\"", "name  = \"Generators\"\nlasts = 300\nrecover = 2");
    let machinery = machinery.replace("2 GEN,", "4 GEN,");
    let problem = read(&demo::folder().with("machinery.toml", machinery)).problem.expect("it reads");
    let whole = Whole::new(problem.clone(), turnto::model::Log::default());
    let standing = Standing::first(problem, plan.clone());
    let stopped = plan.spells.iter().find(|s| base.tasks[s.task].code == "A05").expect("it is planned").span().start();
    let rest = left(&whole, &standing, at(4, 12, 0));
    let group = rest.problem.groups.iter().find(|g| g.code == "GEN").expect("there are sets");
    assert_eq!(group.short_before, Span::new(stopped, at(4, 12, 0)));
}

/// The demonstration job with a second engineer of the watch in mode `drill`, which holds at these times.
fn doubled(drill: &str, log: &str) -> (Problem, turnto::model::Log) {
    let text = |name: &str| String::from_utf8(std::fs::read(crate::source::top().join("demo-crew").join(name)).unwrap()).unwrap();
    let watches = text("watches.toml")
        + "\n[post.OOW2]\nname = \"Second engineer of the watch\"\nneeds = \"OOW\"\nmanned = \"mode drill\"\n\
           [line.day]\nhours = \"00:00-13:00, 13:00-24:00\"\nOOW2 = \"CE or 2E\"\n\
           [[cover]]\npost = \"OOW2\"\nwhen = \"day 5 16:00-16:30\"\nby = \"2E\"\n";
    let machinery = text("machinery.toml").replace("day 5 15:30-16:30", drill);
    let folder = demo::folder().with("watches.toml", watches).with("machinery.toml", machinery).with("log.toml", log.to_owned());
    let reading = read(&folder);
    let said: Vec<&str> = reading.diagnostics.iter().map(|d| d.message.as_str()).collect();
    (reading.problem.unwrap_or_else(|| panic!("{said:?}")), reading.log)
}

/// Turns of the second engineer from a moment on.
fn second(problem: &Problem, from: Moment) -> Vec<Turn> {
    let post = problem.posts.find(|p| p.code == "OOW2").expect("it is there");
    let turns = problem.turns.iter().filter(|t| t.post == post && t.span.end() > from);
    turns.map(|t| Turn { span: Span::new(t.span.start().max(from), t.span.end()).expect("it lasts"), ..t.clone() }).collect()
}

/// If this fails, a mode that is logged does not man the posts that it mans in the job folder, or mans them otherwise.
#[test]
fn a_logged_mode_mans_posts_as_the_job_folder_does() {
    let now = at(4, 9, 0);
    let log = entry("day 4 09:00", "what = \"mode\"\nmode = \"drill\"\nuntil = \"day 4 15:00\"");
    let (problem, log) = doubled("day 5 15:30-16:30", &log);
    let plan = first_plan(&problem);
    assert_eq!(second(&problem, now).len(), 2, "the drill, and its second half with 2E");
    let (whole, standing) = (Whole::new(problem.clone(), log), Standing::first(problem, plan));
    let rest = left(&whole, &standing, now);
    let (written, _) = doubled("day 4 09:00-15:00, day 5 15:30-16:30", "");
    let shape = |turns: Vec<Turn>| turns.into_iter().map(|t| (t.span, t.line)).collect::<Vec<_>>();
    assert_eq!(shape(second(&rest.problem, now)), shape(second(&written, now)));
    for (turn, base) in second(&rest.problem, now).iter().zip(second(&written, now)) {
        // Somebody in the midst of a part is not asked to stand it; else it is open to the same people.
        let open = |stand: &Stand| match stand {
            Stand::Fixed(person) => vec![*person],
            Stand::Open(people) => people.clone(),
        };
        let busy = |p: &PersonId| rest.problem.tasks.iter().filter_map(|t| t.under_way.as_ref()).any(|u| u.team.contains(p));
        assert!(open(&base.stand).iter().all(|p| open(&turn.stand).contains(p) || busy(p)) && !open(&turn.stand).is_empty());
    }
    assert_eq!(second(&rest.problem, now).len(), 4, "to 13:00, on to 15:00, and those of day 5");
    let verified = verify(&rest.problem, first_plan(&rest.problem)).expect("it is legal");
    assert!(verified.account().finish > now + Minutes::DAY);
    // The other way round: no drill on day 5 after all.
    let off = entry("day 5 08:00", "what = \"mode\"\nmode = \"anchor\"\nuntil = \"day 6 00:00\"");
    let (problem, log) = doubled("day 5 15:30-16:30", &off);
    let plan = first_plan(&problem);
    let rest = left(&Whole::new(problem.clone(), log), &Standing::first(problem, plan), at(5, 8, 0));
    assert!(second(&rest.problem, at(5, 8, 0)).is_empty(), "nobody stands it any more");
}
