//! Rosters in words. Numbers and their units are tied.

use std::cmp::Ordering;

use crate::id::PersonId;
use crate::model::Problem;
use crate::out::words::tied;
use crate::roster::{Bar, Hole, Outcome, Proof, Repair, Stint};
use crate::time::{Minutes, Moment, Span, union};

/// `day 3 09:30`, tied.
pub(super) fn at(problem: &Problem, moment: Moment) -> String {
    tied(&problem.clock.day_time(moment))
}

/// `day 3 09:30-12:00`, or with both days.
pub(super) fn from_to(problem: &Problem, span: Span) -> String {
    let clock = &problem.clock;
    let day = clock.day(span.start());
    let whole = clock.day_span(day);
    match span.end().cmp(&whole.end()) {
        Ordering::Less => tied(&format!("{}-{}", clock.day_time(span.start()), clock.hour(span.end()))),
        Ordering::Equal => tied(&format!("{}-24:00", clock.day_time(span.start()))),
        Ordering::Greater => format!("{} to {}", at(problem, span.start()), at(problem, span.end())),
    }
}

/// When somebody has a line: its turns of one day, or from the first turn to the last with the hours between which it is
/// stood each day, parts of others left out.
pub(super) fn stint(problem: &Problem, stint: &Stint) -> String {
    let clock = &problem.clock;
    let pieces = union(stint.turns.iter().map(|turn| problem.turns[*turn].span).collect());
    let ([first, ..], [.., last]) = (pieces.as_slice(), pieces.as_slice()) else { return from_to(problem, stint.span) };
    if pieces.len() == 1 {
        return from_to(problem, *first);
    }
    let shown = |span: &Span| {
        let whole = clock.day_span(clock.day(span.start()));
        let end = if span.end() == whole.end() { "24:00".to_owned() } else { clock.hour(span.end()) };
        tied(&format!("{}-{end}", clock.hour(span.start())))
    };
    if clock.day(first.start()) == clock.day(last.start()) {
        let rest: Vec<String> = pieces[1..].iter().map(shown).collect();
        return format!("{} and {}", from_to(problem, *first), rest.join(" and "));
    }
    let minutes = |span: &Span| {
        let from = clock.minute_of_day(span.start()).get();
        let to = clock.minute_of_day(span.end()).get();
        (from, if to <= from { to + 1440 } else { to })
    };
    let mut daily: Vec<((i32, i32), String)> = pieces.iter().map(|piece| (minutes(piece), shown(piece))).collect();
    daily.sort_unstable();
    daily.dedup();
    let times: Vec<(i32, i32)> = daily.iter().map(|(time, _)| *time).collect();
    let inside = |part: (i32, i32), all: (i32, i32)| [0, 1440].iter().any(|next| all.0 <= part.0 + next && part.1 + next <= all.1);
    let whole = |part: (i32, i32)| !times.iter().any(|other| *other != part && inside(part, *other));
    let hours: Vec<String> = daily.into_iter().filter(|(time, _)| whole(*time)).map(|(_, shown)| shown).collect();
    format!("{}, {}", from_to(problem, stint.span), hours.join(" and "))
}

/// `7 h 30`, tied.
pub(super) fn hours(length: Minutes) -> String {
    tied(&length.to_string())
}

pub(super) fn code(problem: &Problem, person: PersonId) -> String {
    tied(&problem.people[person].code)
}

/// What keeps a person from a turn: `is away till day 5 00:00`.
pub(super) fn bar(problem: &Problem, person: PersonId, bar: &Bar) -> String {
    match bar {
        Bar::Away(span) if span.end() >= problem.layout_end => format!("is away from {}", at(problem, span.start())),
        Bar::Away(span) => format!("is away till {}", at(problem, span.end())),
        Bar::Stands(turn) => {
            let turn = &problem.turns[*turn];
            format!("has the watch on {} {}", tied(&problem.posts[turn.post].code), from_to(problem, turn.span))
        }
        Bar::At(duty) => format!("is at {}", tied(&problem.duties[*duty].code)),
        Bar::Rest(finding) => {
            let set = &problem.rule_sets[problem.people[person].rest];
            let rule = &set.rules[finding.rule.min(set.rules.len() - 1)];
            format!(
                "would break rest rule {} ({}): {} from {} to {}",
                tied(&rule.code),
                rule.kind.text(),
                hours(finding.found),
                at(problem, finding.window.start()),
                at(problem, finding.window.end()),
            )
        }
        Bar::Broken => "breaks rest rules with fixed work alone".to_owned(),
    }
}

/// The same in few words: the rule by its code alone.
pub(super) fn short_bar(problem: &Problem, person: PersonId, bar: &Bar) -> String {
    let Bar::Rest(finding) = bar else { return self::bar(problem, person, bar) };
    let set = &problem.rule_sets[problem.people[person].rest];
    let rule = &set.rules[finding.rule.min(set.rules.len() - 1)];
    format!("would be short of rest ({} in rule {} from {})", hours(finding.found), tied(&rule.code), at(problem, finding.window.start()))
}

/// What would fill a hole.
pub(super) fn repair(problem: &Problem, hole: &Hole, repair: &Repair) -> String {
    let post = &problem.posts[problem.turns[hole.turn].post].code;
    match repair {
        Repair::Also(person) => format!("{} may stand {post}, is not named for it, and could", code(problem, *person)),
        Repair::Share(first, head, second, tail) => format!(
            "{} could stand {} and {} {}",
            code(problem, *first),
            from_to(problem, *head),
            code(problem, *second),
            from_to(problem, *tail)
        ),
        Repair::Without(person, duty) => {
            format!("{} could, if {} were done without him", code(problem, *person), tied(&problem.duties[*duty].code))
        }
    }
}

/// How good the roster is.
pub(super) fn proof(outcome: &Outcome) -> String {
    match outcome.proof {
        Proof::NothingOpen => "Every turn is named in the job folder; there is nothing to decide.".to_owned(),
        Proof::Proven => "Proven: no roster that keeps lines whole is better by uncovered time, changes, rota, nights and job time lost \
                          together."
            .to_owned(),
        Proof::Within { .. } => {
            let gap = outcome.gap_thousandths();
            format!("Not proven to be the best: its cost lies within {}.{} % of what is.", gap / 10, gap % 10)
        }
    }
}
