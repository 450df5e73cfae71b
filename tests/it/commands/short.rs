//! Where the reserve or machines cannot be had in full: a plan all the same, as little short as can be found.

use super::{Ran, Scratch};

fn words(ran: &Ran) -> String {
    ran.out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Two engineers in watches of six hours and a motorman: with one of them on watch the other is never free to be called for
/// two hours without losing his rest, once he works as well.
fn two_watches() -> Scratch {
    let scratch = Scratch::new();
    assert_eq!(scratch.run(&["new", "job", "--quiet"]).code, Some(0));
    let job = "ship = \"Aldra\"\nstart = 2027-10-04T06:00\ndays = 2\nslot = 30\nclock = \"UTC+1\"\n[rest]\nrules = \"stcw-mlc-rest\"\nrecorded_from = \"day -6\"\n";
    let crew = "[competence]\nENG = \"engine watch\"\nHND = \"hands\"\n\
        [person.CE]\nname = \"Ada\"\ncan = \"ENG, HND\"\nhours = \"12:00-18:00\"\n\
        [person.2E]\nname = \"Bo\"\ncan = \"ENG, HND\"\nhours = \"06:00-12:00\"\n\
        [person.MM]\nname = \"Cy\"\ncan = \"HND\"\nhours = \"06:00-18:00\"\n";
    let watches = "[post.ER]\nneeds = \"ENG\"\n[line.a]\nhours = \"06:00-12:00, 18:00-24:00\"\nER = \"CE\"\n\
        [line.b]\nhours = \"00:00-06:00, 12:00-18:00\"\nER = \"2E\"\n";
    let tasks = "[task.A]\ntext = \"Open\"\nneeds = \"ENG + HND\"\nhours = 1\n\
        [task.B]\ntext = \"Close\"\nneeds = \"ENG + HND\"\nhours = 4\nafter = \"A\"\n";
    for name in scratch.names("job") {
        std::fs::remove_file(scratch.path(&format!("job/{name}"))).unwrap();
    }
    for (name, text) in [("job.toml", job), ("crew.toml", crew), ("watches.toml", watches), ("tasks.toml", tasks)] {
        scratch.write(&format!("job/{name}"), text);
    }
    scratch
}

/// If this fails, a reserve that no plan keeps leaves people without any plan, though it is to be kept only where it can be.
#[test]
fn a_reserve_that_no_plan_keeps_leaves_a_plan_that_says_so() {
    let scratch = two_watches();
    let ran = scratch.run(&["plan", "job"]);
    assert_eq!(ran.code, Some(0), "without a reserve there is nothing short: {}", ran.err);
    let job = scratch.read("job/job.toml") + "[[reserve]]\ncallable = \"1 ENG\"\ncall = 2\n";
    scratch.write("job/job.toml", job);
    let ran = scratch.run(&["plan", "job"]);
    assert_eq!(ran.code, Some(1), "{}", ran.err);
    assert!(words(&ran).contains("RESERVE SHORT: 1 more must be callable"), "{}", ran.out);
    let judged = scratch.run(&["check", "job", "--plan", "job/plan/002/plan.json"]);
    assert!(judged.out.contains("keeps all hard rules"), "{}", judged.out);
}

/// If this fails, it takes five times as long to find that nobody else can be called: three people, one of them on watch, with three
/// asked for. Work that is left when somebody is called changes nothing about that.
#[test]
fn a_reserve_that_watches_alone_leave_short_is_not_searched_for() {
    let scratch = two_watches();
    let job = scratch.read("job/job.toml") + "[[reserve]]\ncallable = \"3 HND\"\ncall = 1\n";
    scratch.write("job/job.toml", job);
    let tasks = "[task.A]\ntext = \"Paint\"\nneeds = \"HND\"\nhours = 1\n";
    scratch.write("job/tasks.toml", tasks);
    let ran = scratch.run(&["plan", "job"]);
    assert_eq!(ran.code, Some(1), "{}{}", ran.out, ran.err);
    assert!(words(&ran).contains("RESERVE SHORT: 1 more must be callable"), "{}", ran.out);
    assert!(!ran.err.contains("once more"), "{}", ran.err);
}

/// If this fails, a machine is taken out over hours in which all of them are needed, though that may wait until they are
/// over: a canal on the third day, an overhaul of eight hours that ends on the second day at the earliest, so that it would
/// be out until the fourth.
#[test]
fn what_takes_a_machine_out_waits_until_it_is_not_needed() {
    let scratch = two_watches();
    let machines = "[unit]\nA1 = \"Aux 1\"\nA2 = \"Aux 2\"\n[group.AUX]\nunits = \"A1, A2\"\n[mode.sea]\nwhen = \"otherwise\"\nneeds = \"1 AUX\"\n\
        [mode.canal]\nwhen = \"day 2 20:00-23:00\"\nneeds = \"2 AUX\"\nweight = 3\n";
    scratch.write("job/machinery.toml", machines);
    let tasks = "[task.A]\ntext = \"Open\"\nneeds = \"HND\"\nhours = 1\ntakes_out = \"A2\"\n\
        [task.B]\ntext = \"Close\"\nneeds = \"HND\"\nhours = 12\nafter = \"A + 24h\"\nhands_back = \"A2\"\n";
    scratch.write("job/tasks.toml", tasks);
    let due = "[milestone.back]\ntext = \"Aux 2 back\"\ntasks = \"B\"\ndue = \"day 3 12:00\"\n";
    scratch.write("job/job.toml", scratch.read("job/job.toml") + due);
    let ran = scratch.run(&["plan", "job"]);
    let text = words(&ran);
    assert!(!text.contains("MACHINERY SHORT") && text.contains("LATE"), "{}{}", ran.out, ran.err);
    assert_eq!(ran.code, Some(1));
}

/// If this fails, everybody waits at two in the morning for a search that cannot find anything: of two sets that are needed one is
/// dead for good and the other is being overhauled, and nothing hands it back sooner than the longest chain of tasks. Or it is
/// not said that no plan has fewer machines short.
#[test]
fn machines_that_are_short_in_every_plan_are_not_searched_for() {
    let scratch = two_watches();
    let machines =
        "[unit]\nA1 = \"Aux 1\"\nA2 = \"Aux 2\"\n[group.AUX]\nunits = \"A1, A2\"\n[mode.sea]\nwhen = \"otherwise\"\nneeds = \"1 AUX\"\n";
    scratch.write("job/machinery.toml", machines);
    let tasks = "[task.A]\ntext = \"Overhaul\"\nneeds = \"HND\"\nhours = 8\nstop = \"never\"\ntakes_out = \"A2\"\nhands_back = \"A2\"\n";
    scratch.write("job/tasks.toml", tasks);
    assert_eq!(scratch.run(&["plan", "job"]).code, Some(0));
    assert_eq!(scratch.run(&["log", "job", "--at", "day 1 07:00", "started", "A"]).code, Some(0));
    assert_eq!(scratch.run(&["log", "job", "--at", "day 1 08:00", "out", "A1", "--note", "dead"]).code, Some(0));
    let ran = scratch.run(&["replan", "job", "--now", "day 1 08:00"]);
    assert_eq!(ran.code, Some(1), "{}{}", ran.out, ran.err);
    let text = words(&ran);
    assert!(text.contains("SHORT: machinery") && text.contains("(proven: no plan has fewer)"), "{}", ran.out);
    assert!(!ran.err.contains("once more"), "{}", ran.err);
    assert!(scratch.read("job/plan/002/days.txt").contains("unit slots in all; proven: no plan has fewer"));
    assert!(scratch.read("job/plan/002/plan.json").contains("machinery slots"));
}

/// If this fails, a machine that is needed stays open for days so that people stay unbooked, though machines come first: with
/// twelve of sixteen hours unbooked a task of twelve takes three days, and without that it is done on the second.
#[test]
fn the_reserve_does_not_keep_a_machine_that_is_needed_open() {
    let scratch = two_watches();
    let reserve = "[[reserve]]\nunbooked = 12\nbetween = \"06:00-18:00\"\n";
    scratch.write("job/job.toml", scratch.read("job/job.toml") + reserve);
    let crew = "[person.MM]\nname = \"Cy\"\ncan = \"HND\"\nhours = \"08:00-16:00\"\n[person.WI]\nname = \"Di\"\ncan = \"HND\"\nhours = \"08:00-16:00\"\n";
    scratch.write("job/crew.toml", crew);
    scratch.write("job/watches.toml", "");
    scratch.write(
        "job/machinery.toml",
        "[unit]\nA1 = \"Aux 1\"\n[group.AUX]\nunits = \"A1\"\n[mode.sea]\nwhen = \"otherwise\"\nneeds = \"1 AUX\"\n",
    );
    let tasks = "[task.A]\ntext = \"Overhaul\"\nneeds = \"HND\"\nhours = 12\ntakes_out = \"A1\"\nhands_back = \"A1\"\n";
    scratch.write("job/tasks.toml", tasks);
    let ran = scratch.run(&["plan", "job"]);
    let text = words(&ran);
    assert!(text.contains("READY day 2, Tue 5 Oct 12:00") && text.contains("HOURS SHORT"), "{}{}", ran.out, ran.err);
    let judged = scratch.run(&["check", "job", "--plan", "job/plan/001/plan.json"]);
    assert!(judged.out.contains("keeps all hard rules"), "{}", judged.out);
}
