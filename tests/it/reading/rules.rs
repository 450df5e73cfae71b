//! Rest rules of a job folder: a user's own sets, readings, exceptions, age.

use turnto::input::{own_rules, read};
use turnto::model::Problem;
use turnto::rest::rule::{Between, Kind};
use turnto::rest::{
    CallOuts, Counted, Divided, Edge, Emergencies, Exactly, ExceptionGap, OnCall, RuleSet, Timeline, Unknown, Windows, findings,
};
use turnto::time::{Minutes, Moment, Span};

use super::{folder, plain, sound};

const JOB: &str = "ship = \"Any\"\nstart = 2027-03-01T08:00\ndays = 3\nclock = \"UTC\"\n[rest]\nrecorded_from = \"day -7\"\n";

/// Road haulage: Regulation (EC) No 561/2006 articles 6 to 8, from memory.
const ROAD: &str = "[set.road]\nname = \"road haulage, European Union\"\nsource = \"Regulation (EC) No 561/2006\"\nleast_rest = 0.25\n\
    [set.road.rule.break]\nkind = \"unbroken work\"\nat_most = 4.5\nbreak = \"45 min\"\ngaps = \"do not count\"\nsource = \"article 7\"\n\
    [set.road.rule.day]\nkind = \"unbroken work\"\nat_most = 9\nbreak = 9\ngaps = \"do not count\"\n\
    [set.road.rule.two-weeks]\nkind = \"work\"\nwithin = 336\nat_most = 90\nwindows = \"calendar\"\n\
    [set.road.rule.rest]\nkind = \"longest rest\"\nwithin = 24\nat_least = 9\nwindows = \"after 9 h of rest\"\n";

/// Air crew: 14 CFR 117.23(c) and 117.25(b), (e), from memory.
const AIR: &str = "[set.air]\nname = \"air crew, United States\"\nsource = \"14 CFR part 117\"\n\
    [set.air.rule.168h]\nkind = \"work\"\nwithin = 168\nat_most = 60\n\
    [set.air.rule.weekly]\nkind = \"longest rest\"\nwithin = 168\nat_least = 30\nwindows = \"back from work\"\n\
    [set.air.rule.before]\nkind = \"longest rest\"\nwithin = 10\nat_least = 10\nwindows = \"back from work\"\n";

fn set_of<'a>(problem: &'a Problem, person: &str) -> &'a RuleSet {
    let (_, who) = problem.people.pairs().find(|(_, p)| p.code == person).expect("somebody");
    &problem.rule_sets[who.rest]
}

fn broken(set: &RuleSet, minutes: &[(i32, i32)]) -> Vec<String> {
    let span = |from, to| Span::new(Moment::new(from), Moment::new(to)).unwrap();
    let work = minutes.iter().map(|&(from, to)| span(from, to)).collect();
    let found = findings(set, &Timeline::new(set, work, &[]), span(-30 * 1440, 40 * 1440));
    let mut codes: Vec<String> = found.iter().map(|f| set.rules[f.rule].code.clone()).collect();
    codes.dedup();
    codes
}

/// If this fails, a set written by a user is not what he wrote.
#[test]
fn own_sets_are_what_is_written() {
    let job = JOB.replace("[rest]\n", "[rest]\nrules = \"road\"\n");
    let sets = ROAD.to_owned() + AIR;
    let crew = "[person.A]\nname = \"A\"\ncan = \"GEN\"\nhours = \"08:00-12:00, 13:00-17:00\"\n";
    let problem = sound(&folder(&[("job.toml", job.as_str()), ("crew.toml", crew), ("rules.toml", &sets)]));
    // Nine hours in one piece are more than may be driven without a break.
    let long = crew.replace("12:00, 13:00-", "");
    let said = plain(&read(&folder(&[("job.toml", job.as_str()), ("crew.toml", &long), ("rules.toml", &sets)])));
    assert_eq!(said, ["C418 crew.toml:1 A has ordinary hours of 9 h in one piece, of which no more than 4 h 30 can be used"]);
    let road = set_of(&problem, "A");
    assert_eq!((road.code.as_str(), road.min_rest, road.own), ("road", Minutes::new(15), true));
    assert_eq!((road.rules[0].source.as_str(), road.rules[1].source.as_str()), ("article 7", "Regulation (EC) No 561/2006"));
    let Kind::UnbrokenWork(driving) = road.rules[0].kind else { panic!("{:?}", road.rules[0]) };
    assert_eq!((driving.at_most, driving.least_break, driving.between), (Minutes::new(270), Minutes::new(45), Between::Not));
    // Worked out by hand: 4 h 30 either side of 45 min is in order, of 44 min is nine hours without a break.
    assert_eq!(broken(road, &[(360, 630), (675, 945)]), [""; 0]);
    assert_eq!(broken(road, &[(360, 630), (674, 944)]), ["break"]);
    // Duties of eight hours with eight between: 16 h between two daily rests, and no nine hours in the 24.
    assert_eq!(broken(road, &[(0, 240), (300, 540), (1020, 1260), (1320, 1560)]), ["day", "rest"]);
    let own = own_rules(AIR);
    let [air] = own.sets.as_slice() else { panic!("{:?}", own.diagnostics) };
    // Nine hours between two duties; twelve hours on six days in a row.
    assert_eq!(broken(air, &[(0, 480), (1020, 1500)]), ["before"]);
    let days: Vec<(i32, i32)> = (0..6).map(|d| (d * 1440, d * 1440 + 720)).collect();
    assert_eq!(broken(air, &days), ["168h"]);
}

/// If this fails, a set made on top of another one loses its rules or keeps one that was replaced.
#[test]
fn a_set_may_begin_with_another() {
    let text = "[set.company]\nname = \"company\"\nsource = \"standing order 7\"\nlike = \"stcw-mlc-rest\"\n\
                [set.company.rule.24h]\nkind = \"total rest\"\nwithin = 24\nat_least = 11\n\
                [set.company.rule.night]\nkind = \"night work\"\nbetween = \"22:00-04:00\"\nat_most = 3\n";
    let read = own_rules(text);
    assert!(read.diagnostics.is_empty(), "{:?}", read.diagnostics);
    let texts: Vec<String> = read.sets[0].rules.iter().map(|rule| rule.kind.text()).collect();
    assert_eq!(texts.len(), 6);
    assert!(texts.contains(&"at least 11 h of rest in any 24 h".to_owned()), "{texts:?}");
    assert!(texts.contains(&"at most 3 h of work between 22:00 and 04:00".to_owned()), "{texts:?}");
    assert!(!texts.contains(&"at least 10 h of rest in any 24 h".to_owned()), "{texts:?}");
    // 12 h of work and 12 h of rest pass both; 13 h and 11 h too; 13 h 30 only the old one. The last three hours of
    // the day and the first of the next are night work.
    assert_eq!(broken(&read.sets[0], &[(360, 360 + 13 * 60 + 30)]), ["24h"]);
}

/// If this fails, slips in a user's own set are not named, or only the first is.
#[test]
fn slips_in_own_sets_are_named_all_at_once() {
    let text = "[set.a]\nname = \"a\"\n[set.a.rule.x]\nkind = \"totl rest\"\n[set.a.rule.y]\nkind = \"work\"\nwithin = 24\n\
                [set.a.rule.z]\nkind = \"longest rest\"\nwithin = 24\nat_least = 6\nwindows = \"sometimes\"\nperiods = 2\n";
    let reading = read(&folder(&[("rules.toml", text)]));
    assert_eq!(
        plain(&reading),
        [
            "C505 rules.toml:1 rule set a has no `source`",
            "C511 rules.toml:4 `totl rest` is not one of the choices",
            "C505 rules.toml:5 rule y has no `at_most`",
            "C511 rules.toml:12 `sometimes` is not one of the choices",
            "C504 rules.toml:13 rule z has no key `periods`",
        ]
    );
}

/// If this fails, a reading that was chosen does not reach the rules, or is not named.
#[test]
fn readings_are_chosen_and_named() {
    let readings = "[rest.readings]\nday = \"after 6 h of rest\"\nweek = \"calendar\"\nsplit = \"every minute\"\ndivided = \"all rest\"\n\
                    least_rest = 0.5\nshort_gap = \"work\"\nedge = \"whole\"\nemergency = \"nothing\"\nbefore_record = \"rest\"\n\
                    exception_gap = \"first\"\ndrill = \"exempt\"\ndeparture = \"6 h in 12\"\n\
                    on_call = \"work\"\ncall_out = \"below least\"\nclock_change = \"as shown\"\nexactly = \"fails\"\n[rest.exceptions]\nflag = \"F\"\nagreement = \"G\"\nseventy_hours = true\n";
    let reading = read(&folder(&[("job.toml", &(JOB.to_owned() + readings))]));
    // Records can be checked so, and that no plan can be made so is said.
    assert_eq!(plain(&reading), ["C434 job.toml:7 records can be checked by these rest rules, and no plan can be made by them"]);
    let problem = reading.problem.expect("nothing is wrong");
    let set = set_of(&problem, "A");
    let read = &set.readings;
    assert_eq!((read.on_call, read.call_outs), (OnCall::Work, CallOuts::BelowLeast));
    assert_eq!((read.counted, read.exactly), (Counted::Shown, Exactly::Fails));
    // A minute stricter: 10 h, and the floor of the exception.
    assert_eq!(set.rules[0].kind.limit().required(), Minutes::new(601));
    assert!(set.rules.iter().any(|rule| matches!(rule.kind, Kind::WeekExcepted(week) if week.floor == Minutes::new(70 * 60 + 1))));
    assert_eq!((read.day, read.week, read.split), (Windows::AfterRest(Minutes::hours(6)), Windows::Calendar, Windows::EveryMinute));
    assert_eq!((read.divided, read.edge, set.min_rest), (Divided::AllRest, Edge::Whole, Minutes::new(30)));
    assert_eq!((read.emergencies, read.unknown, read.exception_gap), (Emergencies::Nothing, Unknown::Rest, ExceptionGap::First));
    assert!(set.rules.iter().any(|rule| matches!(rule.kind, Kind::RestPeriods(_))), "all rest in two periods is a rule of its own");
    assert!(set.rules.iter().any(|rule| matches!(rule.kind, Kind::WeekExcepted(_))));
    let said: Vec<String> = set.reading_lines().into_iter().map(|(number, text)| format!("{number} {text}")).collect();
    for words in [
        "A1 24 hours: from the start of work after at least 6 h off",
        "A2 7 days: by ship's days and weeks",
        "A3 split and longest rest: from every minute",
        "A4 all rest must fit",
        "A5 a rest is at least 0 h 30 long",
        "A6 a break too short to be rest is work",
        "A7 a rest over the edge of a window counts whole",
        "A8 a drill is exempt",
        "A9 a call-out counts as work and of the rest it took so much is owed as is missing from a day's least; on call without a call is work",
        "A10 an emergency excuses nothing",
        "A11 exceptions: 70 h in 7 days; flag: F; agreement: G",
        "A12 between two exceptions lies at least twice the first",
        "A14 hours are counted as the ship's clock shows them",
        "A16 exactly the limit fails",
        "A15 time before the record is taken as rest",
        "A17 first watches at departure: 6 h",
    ] {
        assert!(said.iter().any(|line| line.starts_with(words)), "{words}: {said:#?}");
    }
}

/// If this fails, somebody under 18 works under the rules for adults without a word.
#[test]
fn age_picks_the_rules() {
    let crew = |who: &str| {
        format!(
            "[person.A]\nname = \"A\"\ncan = \"GEN, OOW\"\nhours = \"08:00-10:00, 10:30-12:30\"\n{who}\n[person.B]\nname = \"B\"\ncan = \"GEN\"\nhours = \"08:00-12:00\"\n"
        )
    };
    let code = |who: &str| {
        let problem = sound(&folder(&[("crew.toml", &crew(who))]));
        let code = set_of(&problem, "A").code.clone();
        assert_eq!(set_of(&problem, "B").code, "stcw-mlc-rest");
        code
    };
    assert_eq!(code("age = 17"), "under-18");
    assert_eq!(code("age = 18"), "stcw-mlc-rest");
    // The job starts on 1 March 2027.
    assert_eq!(code("born = 2009-03-01"), "stcw-mlc-rest");
    assert_eq!(code("born = 2009-03-02"), "under-18");
    assert_eq!(code("born = 2009-03-02\nrest = \"under-18-dk\""), "under-18-dk");
    let job = JOB.to_owned() + "under_18 = \"under-18-de-sea\"\n[rest.exceptions]\nflag = \"F\"\nagreement = \"G\"\nseventy_hours = true\n";
    let problem = sound(&folder(&[("crew.toml", &crew("age = 17")), ("job.toml", &job)]));
    let young = set_of(&problem, "A");
    assert_eq!((young.code.as_str(), young.permit.is_none()), ("under-18-de-sea", true), "no exceptions for those under 18");
    assert!(set_of(&problem, "B").permit.is_some());
    let slip = read(&folder(&[("job.toml", &(JOB.to_owned() + "under_18 = \"under-81\"\n"))]));
    assert_eq!(plain(&slip), ["C401 job.toml:7 there is no set of rest rules `under-81`"]);
}

/// If this fails, a slip in the name of a set shows only when the sets are in order, or a set of which something is wrong
/// is said not to be there.
#[test]
fn what_is_wrong_with_a_set_and_with_its_name_is_said_at_once() {
    let job = |rules: &str| JOB.replace("[rest]\n", &format!("[rest]\nrules = \"{rules}\"\n"));
    let found = |rules: &str, sets: &str| -> Vec<String> {
        let lines = plain(&read(&folder(&[("job.toml", &job(rules)), ("rules.toml", sets)])));
        lines.iter().map(|line| line[..4].to_owned()).collect()
    };
    // A word that is no choice, and numbers that make no sense.
    let no_choice = ROAD.replace("windows = \"calendar\"", "windows = \"calender\"");
    let amiss = ROAD.replace("at_least = 9\n", "at_least = 25\n");
    assert_eq!(found("road", &no_choice), ["C511"]);
    assert_eq!(found("roda", &no_choice), ["C401", "C511"]);
    assert_eq!(found("road", &amiss), ["C431"]);
    assert_eq!(found("roda", &amiss), ["C401", "C431"]);
    let like = format!("{amiss}[set.ours]\nname = \"ours\"\nsource = \"us\"\nlike = \"road\"\n");
    assert_eq!(found("ours", &like), ["C431"]);
    assert_eq!(found("ours", &like.replace("like = \"road\"", "like = \"raod\"")), ["C431", "C401"]);
}

/// If this fails, a date of birth that nobody aboard can have is taken, and picks rules by it.
#[test]
fn a_date_of_birth_that_cannot_be_is_refused() {
    let crew =
        |born: &str| format!("[person.A]\nname = \"A\"\ncan = \"GEN\"\nhours = \"08:00-12:00\"\nborn = {born}\nrest = \"stcw-mlc-rest\"\n");
    let said = |born: &str| plain(&read(&folder(&[("crew.toml", &crew(born))])));
    // The job starts on 1 March 2027. Fourteen and a hundred years are taken, as of `age`.
    assert_eq!(said("9999-01-01"), ["C510 crew.toml:5 `born` of person A lies after the start of the job"]);
    assert_eq!(said("2027-03-02"), ["C510 crew.toml:5 `born` of person A lies after the start of the job"]);
    assert_eq!(said("2027-02-28"), ["C510 crew.toml:5 by `born` person A is 0 when the job starts"]);
    assert_eq!(said("2013-03-02"), ["C510 crew.toml:5 by `born` person A is 13 when the job starts"]);
    assert_eq!(said("2013-03-01"), ["C433 crew.toml:6 `stcw-mlc-rest` is no set for somebody under 18"]);
    assert_eq!(said("1926-03-02"), Vec::<String>::new());
    assert_eq!(said("1926-03-01"), ["C510 crew.toml:5 by `born` person A is 101 when the job starts"]);
}

/// If this fails, a record that was lost passes for one of rest where crew.toml says that it is there, or a job that says so of
/// all of its people, of whom nobody has worked, is doubted.
#[test]
fn a_record_that_crew_toml_speaks_of_is_missed() {
    let person = |code: &str, from: &str| format!("[person.{code}]\nname = \"{code}\"\ncan = \"GEN\"\nhours = \"08:00-12:00\"\n{from}");
    let crew = person("A", "recorded_from = \"day -7\"\n") + &person("B", "recorded_from = \"day -8\"\n");
    let job = JOB.replace("recorded_from = \"day -7\"\n", "");
    let said =
        |job: &str, crew: &str, more: &[(&str, &str)]| plain(&read(&folder(&[&[("job.toml", job), ("crew.toml", crew)], more].concat())));
    let missed = ["C328 crew.toml:5 nothing is recorded of anybody, so A counts as rested since day -7 00:00"];
    assert_eq!(said(&job, &crew, &[]), missed);
    assert_eq!(said(&job, &crew, &[("hours.csv", "person,from,to,kind\n")]), missed);
    assert_eq!(said(JOB, &crew, &[]), Vec::<String>::new(), "said of all");
    let row = "person,from,to,kind\nB,day 0 08:00,day 0 12:00,duty\n";
    assert_eq!(said(&job, &crew, &[("hours.csv", row)]), Vec::<String>::new(), "A has joined with nothing but rest");
}
