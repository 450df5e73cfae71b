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
