//! Writing of plans and of new job folders.

use super::*;

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

fn berth<'a>(job: &Path, interrupt: &'a Interrupt) -> Berth<'a> {
    Berth::take(job, interrupt).unwrap()
}

/// If this fails, plans overwrite one another, or `latest` names the wrong one.
#[test]
fn plans_are_numbered_and_kept() {
    let job = tempfile::tempdir().unwrap();
    let interrupt = Interrupt::deaf();
    for n in 1..=2 {
        let berth = berth(job.path(), &interrupt);
        assert_eq!(berth.number(), n);
        let home = berth.fill(&[("plan.json", format!("{n}"))]).unwrap();
        assert_eq!(home, job.path().join(format!("plan/00{n}")));
    }
    let plans = job.path().join("plan");
    assert_eq!(names(&plans), ["001", "002", "latest"]);
    assert_eq!(fs::read_to_string(plans.join("001/plan.json")).unwrap(), "1");
    assert_eq!(fs::read_to_string(plans.join("latest")).unwrap(), "002\n");
}

/// If this fails, a run that ends without a plan leaves something behind.
#[test]
fn a_berth_that_is_not_filled_leaves_no_trace() {
    let job = tempfile::tempdir().unwrap();
    let interrupt = Interrupt::deaf();
    drop(berth(job.path(), &interrupt));
    assert_eq!(names(job.path()), [""; 0]);
    berth(job.path(), &interrupt).fill(&[("plan.json", String::new())]).unwrap();
    drop(berth(job.path(), &interrupt));
    assert_eq!(names(&job.path().join("plan")), ["001", "latest"]);
}

/// If this fails, two runs at the same time can write one plan over the other, or the slower older one becomes
/// the newest.
#[test]
fn two_runs_at_a_time_get_two_numbers() {
    let job = tempfile::tempdir().unwrap();
    let interrupt = Interrupt::deaf();
    let first = berth(job.path(), &interrupt);
    let second = berth(job.path(), &interrupt);
    assert_eq!((first.number(), second.number()), (1, 2));
    second.fill(&[("plan.json", "second".to_owned())]).unwrap();
    first.fill(&[("plan.json", "first".to_owned())]).unwrap();
    let plans = job.path().join("plan");
    assert_eq!(names(&plans), ["001", "002", "latest"]);
    assert_eq!(fs::read_to_string(plans.join("latest")).unwrap(), "002\n");
}

/// If this fails, what a run that was killed left behind stops the next one, or is taken for a plan.
#[test]
fn left_overs_of_a_killed_run_are_passed_over() {
    let job = tempfile::tempdir().unwrap();
    fs::create_dir_all(job.path().join("plan/.001.tmp")).unwrap();
    assert_eq!(berth(job.path(), &Interrupt::deaf()).number(), 2);
}

/// If this fails, half a plan is left in the job folder when the disk fails. A file name that leads nowhere
/// stands in for the failing disk.
#[test]
fn a_plan_that_cannot_be_written_whole_is_not_written_at_all() {
    let job = tempfile::tempdir().unwrap();
    let interrupt = Interrupt::deaf();
    let fault = berth(job.path(), &interrupt).fill(&[("days.txt", "a".to_owned()), ("no/where.csv", "b".to_owned())]).unwrap_err();
    assert_eq!(fault.exit().code(), 4);
    assert!(fault.to_string().ends_with("no/where.csv: there is no such file or folder"), "{fault}");
    assert_eq!(names(job.path()), [""; 0]);
}

/// If this fails, a plan stays behind that `latest` does not name and no command sees. A folder in the place of `latest`
/// stands in for the failing disk.
#[test]
fn a_plan_that_cannot_be_named_as_the_latest_does_not_stay() {
    let job = tempfile::tempdir().unwrap();
    fs::create_dir_all(job.path().join("plan/latest")).unwrap();
    let fault = berth(job.path(), &Interrupt::deaf()).fill(&[("plan.json", "a".to_owned())]).unwrap_err();
    assert_eq!(fault.exit().code(), 4);
    assert!(fault.to_string().contains("plan/latest"), "{fault}");
    assert_eq!(names(&job.path().join("plan")), ["latest"]);
}

/// If this fails, some of several files stay behind when the others cannot be written, or something is overwritten.
#[test]
fn of_a_set_of_files_all_or_none_are_written() {
    let place = tempfile::tempdir().unwrap();
    let set = |names: &[&str]| names.iter().map(|n| ((*n).to_owned(), "new".to_owned())).collect::<Vec<_>>();
    let folder = place.path().join("records");
    assert_eq!(write_set(&folder, &set(&["a.txt", "no/where.txt"])).unwrap_err()[0].exit().code(), 4);
    assert!(!folder.exists());
    write_set(&folder, &set(&["b.txt"])).unwrap();
    fs::write(folder.join("c.txt"), "mine").unwrap();
    let taken = write_set(&folder, &set(&["a.txt", "c.txt", "d.txt"])).unwrap_err();
    assert_eq!(taken.iter().map(|fault| fault.exit().code()).collect::<Vec<_>>(), [2]);
    assert!(taken[0].to_string().contains("c.txt") && taken[0].to_string().contains("is there already"), "{}", taken[0]);
    assert_eq!(names(&folder), ["b.txt", "c.txt"]);
    assert_eq!(fs::read_to_string(folder.join("c.txt")).unwrap(), "mine");
}

/// If this fails, a job folder whose `plan` is taken by something else is found out only after the long work.
#[test]
fn a_file_in_the_way_is_named_at_once() {
    let job = tempfile::tempdir().unwrap();
    fs::write(job.path().join("plan"), "mine").unwrap();
    let fault = Berth::take(job.path(), &Interrupt::deaf()).err().unwrap();
    assert_eq!(fault.exit().code(), 4);
    assert_eq!(fs::read_to_string(job.path().join("plan")).unwrap(), "mine");
}

/// If this fails, `turnto new` can overwrite somebody's work.
#[test]
fn a_new_job_goes_only_where_nothing_is() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("deep/job");
    write_job(&folder, &[("job.toml", "a"), ("crew.toml", "b")]).unwrap();
    assert_eq!(names(&folder), ["crew.toml", "job.toml"]);
    let fault = write_job(&folder, &[("job.toml", "new")]).unwrap_err();
    assert_eq!(fault.exit().code(), 2);
    assert_eq!(fs::read_to_string(folder.join("job.toml")).unwrap(), "a");
    let empty = place.path().join("empty");
    fs::create_dir(&empty).unwrap();
    write_job(&empty, &[("job.toml", "a")]).unwrap();
    let fault = write_job(&place.path().join("half"), &[("a", ""), ("no/where", "")]).unwrap_err();
    assert_eq!(fault.exit().code(), 4);
    assert!(!place.path().join("half").exists());
}

/// If this fails, a log that cannot be put in its place takes what was there with it, or leaves half of it aside.
#[test]
fn an_append_that_fails_leaves_the_folder_as_it_was() {
    let job = tempfile::tempdir().unwrap();
    let log = job.path().join("log.toml");
    append(&log, b"", b"one\n").unwrap();
    append(&log, b"one\n", b"one\ntwo\n").unwrap();
    assert_eq!(fs::read(&log).unwrap(), b"one\ntwo\n");
    // Somebody else wrote meanwhile.
    assert!(append(&log, b"one\n", b"one\nthree\n").is_err());
    // What is to be written does not begin with what is there.
    assert!(append(&log, b"one\ntwo\n", b"four\n").is_err());
    assert_eq!(fs::read(&log).unwrap(), b"one\ntwo\n");
    assert_eq!(names(job.path()), ["log.toml"]);
    // A folder in the place of the log: neither read nor renamed over.
    let odd = job.path().join("odd");
    fs::create_dir_all(odd.join("log.toml")).unwrap();
    assert!(append(&odd.join("log.toml"), b"", b"one\n").is_err());
    assert_eq!(names(&odd), ["log.toml"]);
    // No folder at all.
    assert!(append(&job.path().join("none/log.toml"), b"", b"one\n").is_err());
    assert_eq!(names(job.path()), ["log.toml", "odd"]);
}
