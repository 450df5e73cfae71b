//! One folder, from its making to its last plan.

use std::collections::BTreeSet;

use chrono::{NaiveDateTime, TimeDelta};
use serde_json::Value;

use super::events::{Event, written};
use super::facts::Facts;
use super::make::{self, Cast};
use super::mend;
use super::plan::{Before, over, read_again};
use super::run::{Complaint, Site, rows};
use crate::support::dice::Dice;

/// How often each thing happened, so that the test can say whether it tried anything.
#[derive(Default, Debug)]
pub(super) struct Tally {
    /// Folders that `check` refuses after everything it blamed was taken out.
    pub(super) refused: usize,
    /// Folders of which something was taken out.
    pub(super) mended: usize,
    /// Folders with a plan of the whole job.
    pub(super) planned: usize,
    /// Folders for which there is none, or none was found.
    pub(super) no_plan: usize,
    /// Entries of the log that were taken, and that were refused.
    pub(super) entries: usize,
    pub(super) entries_refused: usize,
    /// Plans of what is left, and times there was none.
    pub(super) replanned: usize,
    pub(super) not_replanned: usize,
    /// Other commands that did what was asked, and that said why not.
    pub(super) answered: usize,
    pub(super) not_answered: usize,
    /// Commands that were run twice.
    pub(super) doubled: usize,
}

/// What goes on around one folder.
struct Story<'a> {
    dice: Dice,
    cast: Cast,
    site: Site,
    tally: &'a mut Tally,
    /// The newest plan, with what was over when it began.
    newest: Option<(Value, BTreeSet<String>)>,
    /// Whether something was pinned since the first plan, so that an older one need not keep to it.
    pinned: bool,
}

/// Makes the folder of a seed and plays with it.
///
/// # Errors
/// The program did what it may never do: what, and where it can be looked at.
pub(super) fn tell(seed: u64, tally: &mut Tally) -> Result<(), String> {
    let mut dice = Dice::new(seed);
    let (cast, files) = make::folder(&mut dice);
    let mut story = Story { dice, cast, site: Site::new(&files), tally, newest: None, pinned: false };
    story.goes().map_err(|complaint| story.site.keep(seed, &complaint))
}

impl Story<'_> {
    fn goes(&mut self) -> Result<(), Complaint> {
        if !self.becomes_sound()? {
            self.tally.refused += 1;
            return Ok(());
        }
        let ran = self.act("plan job")?;
        self.plan_is_read("plan job")?;
        if self.newest.is_none() {
            self.tally.no_plan += 1;
            return if ran == Some(3) { Ok(()) } else { self.unless_told(ran, "plan job") };
        }
        self.tally.planned += 1;
        let mut now = self.cast.start;
        for _ in 0..self.dice.number(1, 4) {
            now += TimeDelta::minutes(self.dice.pick(&[5, 60, 120, 240, 480, 720, 1440, 35]));
            for _ in 0..self.dice.pick(&[1, 1, 2, 3]) {
                self.something_happens(now)?;
            }
            let line = format!("replan job --now {}", written(now));
            let code = self.act(&line)?;
            if self.plan_is_read(&line)? {
                self.tally.replanned += 1;
            } else {
                self.tally.not_replanned += 1;
            }
            for _ in 0..2 {
                if self.dice.percent(60) {
                    self.something_is_asked(now)?;
                }
            }
            if !matches!(code, Some(0 | 1)) {
                break;
            }
        }
        self.older_plans_are_read()
    }

    /// Without a plan the exit code says that there is none, or that planning is refused by the files.
    fn unless_told(&self, code: Option<i32>, line: &str) -> Result<(), Complaint> {
        if code == Some(2) { Ok(()) } else { Err(self.site.complaint(line, format!("it ended with {code:?} and wrote no plan"))) }
    }

    /// Runs a command, one time in three twice.
    fn act(&mut self, line: &str) -> Result<Option<i32>, Complaint> {
        if !self.dice.once_in(3) {
            return Ok(self.site.run(line)?.code);
        }
        self.tally.doubled += 1;
        Ok(self.site.run_twice(line)?.code)
    }

    /// Takes out what `check` blames until it has nothing more to refuse; false if that does not come to an end.
    fn becomes_sound(&mut self) -> Result<bool, Complaint> {
        for round in 0..40 {
            let ran = self.site.run("check job")?;
            if ran.code != Some(2) {
                self.tally.mended += usize::from(round > 0);
                return Ok(true);
            }
            let blamed = mend::blamed(&ran.out).map_err(|what| self.site.complaint("check job", what))?;
            for (file, text) in mend::mend(&blamed, |name| self.site.read(name)) {
                self.site.write(&file, &text);
            }
        }
        Ok(false)
    }

    /// One entry more in the log, by hand or by the command; what is refused is not in it.
    fn something_happens(&mut self, now: NaiveDateTime) -> Result<(), Complaint> {
        let facts = Facts::read(&self.site.job());
        let Some(event) = Event::draw(&mut self.dice, &self.cast, &facts, now) else { return Ok(()) };
        let command = event.command().filter(|_| self.dice.once_in(3));
        let refused = if let Some(line) = command {
            self.act(&line)? == Some(2)
        } else {
            let log = self.site.read("log.toml");
            self.site.write("log.toml", &(log.clone() + &event.text()));
            let refused = self.site.run("check job")?.code == Some(2);
            match (refused, log.is_empty()) {
                (true, true) => self.site.remove("log.toml"),
                (true, false) => self.site.write("log.toml", &log),
                (false, _) => {}
            }
            refused
        };
        self.tally.entries += usize::from(!refused);
        self.tally.entries_refused += usize::from(refused);
        Ok(())
    }

    /// One of the other commands.
    fn something_is_asked(&mut self, now: NaiveDateTime) -> Result<(), Complaint> {
        let facts = Facts::read(&self.site.job());
        let now = written(now);
        let (task, person) = (self.dice.pick(&facts.tasks), self.dice.pick(&facts.people).0);
        let lines = [
            "rest job".to_owned(),
            "rest job --of records --csv".to_owned(),
            "rest job --of plan --json".to_owned(),
            "rest job --record all".to_owned(),
            format!("rest job --record {person} --csv"),
            format!("rest job --departure {now}"),
            "rest job --compare".to_owned(),
            "rest job --arrangements sea".to_owned(),
            format!("account job --now {now}"),
            format!("norms job --now {now}"),
            format!("call job --at {now} --night"),
            format!("call job --at {now} --hours 1.5 --json"),
            "watches job".to_owned(),
            "watches job --json".to_owned(),
            "watches job --sheet".to_owned(),
            format!("watches job --without {person}"),
            format!("stops job --now {now}"),
            format!("without job --now {now} --person {person}"),
            "what-if job --first 1".to_owned(),
            "what-if job --leave-out --first 1 --json".to_owned(),
            format!("options job --now {now} --json"),
            format!("options job --now {now}"),
            "log job".to_owned(),
            format!("pin job {task} --by {person}"),
            format!("pin job {task} --not {person} --why told-so"),
            format!("pin job --hold {}", self.dice.number(1, self.cast.days)),
            "pin job --cost".to_owned(),
            "unpin job --all".to_owned(),
        ];
        let line = self.dice.pick(&lines);
        self.pinned |= line.contains("pin job");
        let done = matches!(self.act(&line)?, Some(0 | 1));
        self.tally.answered += usize::from(done);
        self.tally.not_answered += usize::from(!done);
        Ok(())
    }

    /// Whether `line` wrote a plan; it is read by the program and by the test, with all that is written beside it.
    fn plan_is_read(&mut self, line: &str) -> Result<bool, Complaint> {
        let Some(number) = self.site.plans().pop() else { return Ok(false) };
        let complain = |site: &Site, what: String| Err(site.complaint(line, format!("plan {number}: {what}")));
        let text = self.site.read(&format!("plan/{number}/plan.json"));
        let plan: Value = match serde_json::from_str(&text) {
            Ok(plan) => plan,
            Err(why) => return complain(&self.site, why.to_string()),
        };
        if self.newest.as_ref().is_some_and(|(newest, _)| newest["plan_no"] == plan["plan_no"]) {
            return Ok(false);
        }
        let facts = Facts::read(&self.site.job());
        let before = self.newest.as_ref().map(|(plan, over)| Before { plan, over });
        if let Err(what) = read_again(&plan, &facts, before.as_ref()) {
            return complain(&self.site, what);
        }
        for table in ["people", "tasks", "watches", "rest", "totals"] {
            if let Err(what) = rows(&self.site.read(&format!("plan/{number}/{table}.csv"))) {
                return complain(&self.site, format!("{table}.csv: {what}"));
            }
        }
        self.stands(&number)?;
        let over = over(&plan, &facts);
        self.newest = Some((plan, over));
        Ok(true)
    }

    /// What the program says of a plan that it wrote.
    fn stands(&self, number: &str) -> Result<(), Complaint> {
        let line = format!("check job --plan job/plan/{number}/plan.json");
        let ran = self.site.run(&line)?;
        if ran.out.contains("keeps all hard rules") {
            return Ok(());
        }
        Err(self.site.complaint(&line, format!("it does not stand by its plan:\n{}{}", ran.out, ran.err)))
    }

    /// Plans made before still stand, with whatever was logged since.
    fn older_plans_are_read(&self) -> Result<(), Complaint> {
        if self.pinned {
            return Ok(());
        }
        self.site.plans().iter().try_for_each(|number| self.stands(number))
    }
}
