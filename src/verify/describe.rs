//! Breaches in plain words, with codes and ship's time.

use crate::id::{Id, PersonId, TaskId};
use crate::model::{Problem, RecordKind};
use crate::time::{Minutes, Span};
use crate::verify::breach::{Amount, Breach, Clause, Thing};

impl Breach {
    /// What is wrong in one or two lines of at most 80 columns (as long as codes are short): rule, who or
    /// what, when and by how much.
    #[must_use]
    pub fn describe(&self, problem: &Problem) -> String {
        let words = Words { problem, breach: self };
        let said = words.sentence();
        let when = self.window.map(|window| span_text(problem, window));
        wrapped(&match when {
            Some(when) => format!("rule {}: {said}, {when}", self.rule()),
            None => format!("rule {}: {said}", self.rule()),
        })
    }
}

/// A stretch by ship's clock: `day 4 14:20-16:00`, `day 4 22:00 to day 5 02:00`.
fn span_text(problem: &Problem, span: Span) -> String {
    let clock = &problem.clock;
    let (start, end) = (span.start(), span.end());
    if clock.day(start) == clock.day(end) {
        format!("{}-{}", clock.day_time(start), clock.hour(end))
    } else if clock.day(start) == clock.day(end - Minutes::new(1)) && clock.minute_of_day(end).is_zero() {
        format!("{}-24:00", clock.day_time(start))
    } else {
        format!("{} to {}", clock.day_time(start), clock.day_time(end))
    }
}

/// Breaks a line over 80 columns at spaces, but not between a number and its unit; what follows the first
/// line is set in by two.
fn wrapped(text: &str) -> String {
    let is_unit = |word: &str| word.trim_end_matches([',', ':']) == "h";
    let mut words: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match words.last_mut() {
            Some(number) if is_unit(word) => *number = format!("{number} {word}"),
            _ => words.push(word.to_owned()),
        }
    }
    let mut lines: Vec<String> = Vec::new();
    for word in words {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= 80 => {
                line.push(' ');
                line.push_str(&word);
            }
            Some(_) => lines.push(format!("  {word}")),
            None => lines.push(word),
        }
    }
    lines.join("\n")
}

struct Words<'a> {
    problem: &'a Problem,
    breach: &'a Breach,
}

impl Words<'_> {
    fn sentence(&self) -> String {
        let (who, what, other) = (self.who(), self.thing(self.breach.thing), self.thing(self.breach.other));
        let (found, required) = self.numbers();
        match self.breach.clause {
            Clause::TwoThings => format!("{who} has {what} and {other} at the same time"),
            Clause::Away => format!("{who} is away but has {what}"),
            Clause::Unmanned => format!("nobody mans {what}"),
            Clause::MayNotStand => format!("{who} may not stand {what}"),
            Clause::UnknownTurn => format!("the plan names a turn that the job does not have ({what})"),
            Clause::Rest(rule) => format!("{who} breaks the rest rule \"{}\": {found}, not {required}", self.rest_rule(rule)),
            Clause::NotGoingOn => format!("{what} was under way and does not go on at once with its team"),
            Clause::UnknownTask => format!("a spell of a task that the job does not have ({what})"),
            Clause::UnknownPerson => format!("the team of {what} has somebody who is not in the crew"),
            Clause::BrokenSpell => format!("a spell of {what} has no work, or its pieces are not in order and apart"),
            Clause::NotDone => format!("{what} is not done"),
            Clause::TeamSize => format!("the team of {what} has {found} people, not {required}"),
            Clause::TeamRepeats => format!("{who} fills two places in the team of {what}"),
            Clause::Unable => format!("{who} does not hold {other}, which his place in {what} asks for"),
            Clause::OffGrid => format!("{what} does not start and end on a slot"),
            Clause::NotOneStretch => format!("a spell of {what} does not lie in one working stretch of {who}"),
            Clause::SpellCount => format!("{what} has {found} spells, not {required}"),
            Clause::PartNumber => format!("a spell of {what} is numbered part {found}, not {required} (from 0)"),
            Clause::PartLength => format!("a part of {what} takes {found}, not {required}"),
            Clause::PartOrder => format!("a part of {what} starts before the part before it has ended"),
            Clause::WrongLength => format!("{what} is done for {found}, not {required}"),
            Clause::ShortSpell => format!("a spell of {what} takes only {found}; all but the last take at least {required}"),
            Clause::SpellsOverlap => format!("two spells of {what} at the same time"),
            Clause::OverBreak => format!("{what} runs over a break of {who}"),
            Clause::PauseForbidden => format!("{what} pauses but may not"),
            Clause::PauseNotBreak => format!("{what} pauses while nobody in its team has a break"),
            Clause::PauseTooLong => format!("{what} pauses for {found}, more than {required}"),
            Clause::TooSoon => format!("{what} starts too soon after {other}"),
            Clause::NotBefore => format!("{what} starts before its earliest time"),
            Clause::NotAfter => format!("{what} ends after its latest time"),
            Clause::OutsidePlan => format!("{what} lies outside the plan"),
            Clause::RunsInPieces => format!("{what} runs by itself but in {found} pieces"),
            Clause::Unattended => format!("{what} runs while {other}, which attends it, is not manned"),
            Clause::TooManyAttended => format!("{what} attends {found} tasks at once, more than {required}"),
            Clause::DutyNotPlaced => format!("{what} has no time"),
            Clause::DutyMoved => format!("{what} is not at its own time"),
            Clause::DutyOutsideWindow => format!("{what} is not inside its window"),
            Clause::DutyOffGrid => format!("{what} does not start on a slot; its window is"),
            Clause::UnknownDuty => format!("the plan names a duty that the job does not have ({what})"),
            Clause::ToolOverbooked => format!("{found} of {what} are held, more than {required}"),
            Clause::ToolAway => format!("{what} is held for {other} while it cannot be had"),
            Clause::Banned => format!("{what} runs while {other} is banned"),
            Clause::NotSame => format!("{who} takes over a place in {what} that one person fills throughout"),
            Clause::NotDifferent => format!("{who} is barred from his place in {what} by {other}"),
            Clause::NotAtItsTime => format!("{what} does not start at the time decided for it"),
            Clause::NotWhoWasPut => format!("{who} fills a place in {what} for which somebody else was decided"),
            Clause::KeptOff => format!("{who} fills a place in {what} that he was to be kept off"),
            Clause::OutsideHours => format!("{who} has {what} outside working hours"),
            Clause::OverCap => format!("{who} has {found} of job time on {what}, more than {required}"),
            Clause::TooManyEvenings => format!("{who} has overtime on {found} days, more than {required}"),
            Clause::OnHandOutside => format!("{who} is on hand outside the ordinary hours of one stretch"),
            Clause::OnHandTwice => format!("{who} is on hand twice at the same time"),
            Clause::OnHandUnknown => format!("somebody who is not in the crew is on hand ({what})"),
        }
    }

    fn who(&self) -> String {
        self.breach.person.map_or_else(|| "somebody".to_owned(), |person| self.person(person))
    }

    fn person(&self, person: PersonId) -> String {
        self.problem.people.get(person).map_or_else(|| format!("person number {}", person.index()), |p| p.code.clone())
    }

    fn task(&self, task: TaskId) -> String {
        self.problem.tasks.get(task).map_or_else(|| format!("task number {}", task.index()), |t| t.code.clone())
    }

    fn thing(&self, thing: Option<Thing>) -> String {
        let problem = self.problem;
        let unknown = || "something unknown".to_owned();
        match thing {
            None => unknown(),
            Some(Thing::Task(task)) => self.task(task),
            Some(Thing::Turn(turn)) => problem.turns.get(turn).map_or_else(unknown, |turn| {
                let code = problem.posts.get(turn.post).map_or("", |p| p.code.as_str());
                format!("the watch on {code} from {}", problem.clock.day_time(turn.span.start()))
            }),
            Some(Thing::Duty(duty)) => {
                problem.duties.get(duty).map_or_else(unknown, |duty| format!("duty {} (number {})", duty.code, duty.occurrence))
            }
            Some(Thing::OnHand) => "time on hand".to_owned(),
            Some(Thing::Recorded(kind)) => recorded(kind).to_owned(),
            Some(Thing::Post(post)) => problem.posts.get(post).map_or_else(unknown, |post| format!("post {}", post.code)),
            Some(Thing::Tool(tool)) => problem.tools.get(tool).map_or_else(unknown, |tool| tool.code.clone()),
            Some(Thing::Competence(competence)) => problem.competences.get(competence).map_or_else(unknown, |c| c.code.clone()),
            Some(Thing::Tag(tag)) => problem.tags.get(tag).map_or_else(unknown, |tag| format!("\"{}\"", tag.code)),
            Some(Thing::Day(day)) => format!("day {}", day.number()),
            Some(Thing::Row(row)) => format!("row {}", row + 1),
        }
    }

    /// The rest rule in words, as the person's rule set has it.
    fn rest_rule(&self, rule: usize) -> String {
        let person = self.breach.person.and_then(|person| self.problem.people.get(person));
        let set = person.and_then(|person| self.problem.rule_sets.get(person.rest));
        let rule = set.and_then(|set| set.rules.get(rule));
        rule.map_or_else(|| "unknown".to_owned(), |rule| rule.kind.text())
    }

    fn numbers(&self) -> (String, String) {
        let text = |amount: Amount| match amount {
            Amount::Count(count) => count.to_string(),
            Amount::Time(time) => time.to_string(),
        };
        self.breach.numbers.map_or_else(Default::default, |numbers| (text(numbers.found), text(numbers.required)))
    }
}

/// Recorded work in words.
const fn recorded(kind: RecordKind) -> &'static str {
    match kind {
        RecordKind::Watch => "a recorded watch",
        RecordKind::Task => "recorded work on a task",
        RecordKind::Duty => "a recorded duty",
        RecordKind::Call => "a recorded call-out",
        RecordKind::Drill => "a recorded drill",
        RecordKind::Emergency => "recorded emergency work",
        RecordKind::OnCall => "recorded time on call",
    }
}
