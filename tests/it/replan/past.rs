//! The past is fact: no replan alters it, whatever happens.

use turnto::bound::earliest_by_chain;
use turnto::bound::premises::{like, with_overtime};
use turnto::model::{Log, Problem};
use turnto::plan::Spell;
use turnto::replan::{NoRemainder, Remainder, Standing, Whole, remainder};
use turnto::time::{Minutes, Moment, Span};
use turnto::variant::up_to;
use turnto::verify::{Verified, verify};

use crate::labour::{rows_broken, told};
use crate::replan::stage::{at, demo_plan, first_plan, with_log};
use crate::support::dice::Dice;

/// What of spells lies before `now`, by task of the whole table, sorted.
fn before(spells: &[Spell], now: Moment) -> Vec<(turnto::id::TaskId, Vec<turnto::id::PersonId>, Span)> {
    let mut pieces: Vec<_> = spells
        .iter()
        .flat_map(|s| {
            s.work.iter().filter_map(|w| Some((s.task, s.team.clone(), Span::new(w.start(), w.end().min(now))?))).collect::<Vec<_>>()
        })
        .collect();
    pieces.sort();
    pieces
}

/// If this fails, what people did is not what they were told, although nothing was logged, or a second replan
/// rewrites what the first had as fact.
#[test]
fn the_past_is_what_was_told_and_stays_through_a_chain_of_replans() {
    let (problem, plan) = demo_plan().clone();
    let whole = Whole::new(problem.clone(), Log::default());
    let mut standing = Standing::first(problem, plan.clone());
    for now in [at(2, 10, 0), at(4, 14, 30), at(6, 16, 30)] {
        let rest = remainder(&whole, &standing, now, 0).expect("something is left");
        assert_eq!(joined(before(&rest.past.spells, now)), joined(before(&plan.spells, now)));
        let told = rest.problem.told.clone().expect("people were told");
        standing = rest.with(told);
    }
}

/// Pieces of one task and team that touch, joined: where a replan cuts a spell, two pieces are one.
fn joined(
    pieces: Vec<(turnto::id::TaskId, Vec<turnto::id::PersonId>, Span)>,
) -> Vec<(turnto::id::TaskId, Vec<turnto::id::PersonId>, Span)> {
    let mut list: Vec<(turnto::id::TaskId, Vec<turnto::id::PersonId>, Span)> = Vec::new();
    for (task, people, span) in pieces {
        match list.last_mut() {
            Some(before) if (before.0, &before.1) == (task, &people) && before.2.end() == span.start() => before.2 = before.2.hull(span),
            _ => list.push((task, people, span)),
        }
    }
    list
}

/// Random entries at random times.
fn chance(dice: &mut Dice) -> (String, Vec<Moment>) {
    let problem = &demo_plan().0;
    let mut text = String::new();
    let mut times: Vec<Moment> = Vec::new();
    let mut when = at(2, 8, 0) + Minutes::new(30 * dice.number(0, 60));
    for _ in 0..dice.number(1, 3) {
        let task = &problem.tasks.iter().nth(dice.below(problem.tasks.len())).expect("there is one").code;
        let person = dice.pick(&["2E", "3E", "FT", "M1", "W1", "EO"]);
        let what = match dice.number(0, 8) {
            0 => format!("what = \"unfit\"\nperson = \"{person}\"\nuntil = \"day 7 08:00\""),
            1 => format!("what = \"limited\"\nperson = \"{person}\"\nwithout = \"GEN\""),
            2 => format!("what = \"gone\"\ntool = \"{}\"\nuntil = \"day 6 12:00\"", dice.pick(&["CRANE", "HYDT", "PTEST"])),
            3 => format!("what = \"done\"\ntask = \"{task}\""),
            4 => format!("what = \"stopped\"\ntask = \"{task}\""),
            5 => format!("what = \"found\"\ntask = \"{task}\"\nhours = {}", dice.number(1, 4)),
            6 => format!("what = \"to_go\"\ntask = \"{task}\"\nhours = {}", dice.number(1, 6)),
            7 => "what = \"out\"\nunit = \"G4\"\nuntil = \"day 6 12:00\"".to_owned(),
            _ => format!("what = \"started\"\ntask = \"{task}\""),
        };
        let said = format!("[[entry]]\nat = \"{}\"\n{what}\n", problem.clock.day_time(when));
        text.push_str(&said);
        times.push(when);
        when = when + Minutes::new(dice.number(20, 900));
    }
    (text, times)
}

/// What a replan must never do, whatever happened.
fn sound(rest: &Remainder, earlier: Option<&Remainder>) -> Result<(), String> {
    if let Some(earlier) = earlier {
        let then = earlier.problem.start;
        // Only what the log itself says of the past may differ: work that was thought done and was not.
        let old = before(&earlier.past.spells, then);
        let new = before(&rest.past.spells, then);
        if let Some(made_up) = new.iter().find(|piece| !old.iter().any(|o| (o.0, &o.1) == (piece.0, &piece.1) && o.2.covers(piece.2))) {
            return Err(format!("work that nobody did: {:?}", made_up.2));
        }
    }
    let plan = first_plan(&rest.problem);
    let early = plan.spells.iter().any(|s| s.span().start() < rest.problem.start);
    if early {
        return Err("work planned in the past".to_owned());
    }
    // A finding that the record alone does not have would be a breach of rule 3, and the plan no plan.
    let verified = verify(&rest.problem, plan)
        .map_err(|rejected| rejected.breaches.iter().map(|b| b.describe(&rest.problem)).collect::<Vec<_>>().join("\n"))?;
    proven(&rest.problem, &verified)
}

/// What is proven about the dates of a remainder must be true of a plan of it.
fn proven(problem: &Problem, verified: &Verified) -> Result<(), String> {
    let account = verified.account();
    let premises = with_overtime(like(account));
    let by_chain = earliest_by_chain(problem, premises.hours).map_err(|_| "no chain, though there is a plan".to_owned())?;
    let problem = told(problem, verified);
    for (milestone, row) in account.milestones.pairs() {
        if by_chain[milestone].at > row.met_at {
            return Err(format!("met at {:?}, before the chain ends at {:?}", row.met_at, by_chain[milestone].at));
        }
        let part = up_to(&problem, milestone).map_err(|defects| format!("{defects:?}"))?;
        let broken = rows_broken(&part, premises, row.met_at);
        if !broken.is_empty() {
            return Err(format!("rows of the labour model broken by what is done up to a milestone: {broken:?}"));
        }
    }
    Ok(())
}

/// If this fails, some turn of events brings an illegal plan, or alters what was done before, or what is proven about dates of
/// what is left is not true.
#[test]
fn random_events_never_alter_the_past_nor_bring_an_illegal_plan() {
    let mut wrong = Vec::new();
    let mut planned = 0;
    for seed in 0..24 {
        let mut dice = Dice::new(seed);
        let (text, times) = chance(&mut dice);
        let (whole, mut standing) = with_log(&text);
        let mut last: Option<Remainder> = None;
        for (count, now) in times.iter().enumerate() {
            match remainder(&whole, &standing, *now, count + 1) {
                Err(NoRemainder::Impossible { .. }) => break,
                Err(other) => {
                    wrong.push(format!("seed {seed}: {other:?}"));
                    break;
                }
                Ok(rest) => {
                    let options = turnto::engine::Options { seed: 0, patience: 0, bound: None, threads: 1, end: None };
                    let stuck = turnto::engine::solve(&rest.problem, &options, &mut turnto::engine::Unwatched);
                    let turnto::engine::Outcome::Found(found) = stuck else { break };
                    planned += 1;
                    if let Err(why) = sound(&rest, last.as_ref()) {
                        wrong.push(format!("seed {seed}, replan {}:\n{text}\n{why}", count + 1));
                        break;
                    }
                    last = Some(rest.clone());
                    standing = rest.with(found.plan);
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
    assert!(planned >= 20, "only {planned} were planned at all");
}
