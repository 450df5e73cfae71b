//! A written plan, read a second time by somebody who knows little of the rules but can add.

use std::collections::BTreeSet;

use chrono::DateTime;
use serde_json::Value;

use super::facts::Facts;

/// From and to, in minutes.
type Stretch = (i64, i64);

/// Somebody at a task, for a piece of a spell.
struct Piece<'a> {
    person: &'a str,
    task: &'a str,
    span: Stretch,
}

/// The plan before, from which on to plan again was asked for.
pub(super) struct Before<'a> {
    pub(super) plan: &'a Value,
    /// Tasks that were over before it.
    pub(super) over: &'a BTreeSet<String>,
}

/// Tasks that are over when a plan begins: what the job has and the plan has not.
pub(super) fn over(plan: &Value, facts: &Facts) -> BTreeSet<String> {
    let planned: BTreeSet<&str> = list(&plan["tasks"]).iter().filter_map(|task| task["id"].as_str()).collect();
    facts.tasks.iter().filter(|task| !planned.contains(task.as_str())).cloned().collect()
}

/// Everything that is asked of a plan here.
///
/// # Errors
/// The plan is not so.
pub(super) fn read_again(plan: &Value, facts: &Facts, before: Option<&Before<'_>>) -> Result<(), String> {
    let pieces = pieces(plan)?;
    each_person_does_one_thing(plan, &pieces)?;
    hours_add_up(plan, &pieces)?;
    tools_are_enough(plan, facts)?;
    nothing_is_left(plan, facts, before)?;
    if before.is_none() { order_is_kept(plan, facts) } else { Ok(()) }
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn word<'a>(value: &'a Value, key: &str) -> Result<&'a str, String> {
    value[key].as_str().ok_or_else(|| format!("no `{key}` in {value}"))
}

fn minute(value: &Value, key: &str) -> Result<i64, String> {
    let text = word(value, key)?;
    DateTime::parse_from_rfc3339(text).map(|time| time.timestamp() / 60).map_err(|why| format!("`{text}`: {why}"))
}

fn stretch(value: &Value) -> Result<Stretch, String> {
    let (from, to) = (minute(value, "from")?, minute(value, "to")?);
    if from < to { Ok((from, to)) } else { Err(format!("it ends before it begins: {value}")) }
}

/// A spell without its pauses.
fn worked(spell: &Value) -> Result<Vec<Stretch>, String> {
    let (mut from, end) = stretch(spell)?;
    let mut pieces = Vec::new();
    for pause in list(&spell["paused"]) {
        let (begins, ends) = stretch(pause)?;
        if from >= begins || ends >= end {
            return Err(format!("a pause that is not within its spell: {spell}"));
        }
        pieces.push((from, begins));
        from = ends;
    }
    pieces.push((from, end));
    Ok(pieces)
}

fn pieces(plan: &Value) -> Result<Vec<Piece<'_>>, String> {
    let mut pieces = Vec::new();
    for task in list(&plan["tasks"]) {
        for spell in list(&task["spells"]) {
            for span in worked(spell)? {
                for member in list(&spell["team"]) {
                    pieces.push(Piece { person: word(member, "person")?, task: word(task, "id")?, span });
                }
            }
        }
    }
    Ok(pieces)
}

/// The stretches of a person follow one another from the start of the plan to its end, and those on tasks are the spells the
/// person is in.
fn each_person_does_one_thing(plan: &Value, pieces: &[Piece<'_>]) -> Result<(), String> {
    for person in list(&plan["people"]) {
        let code = word(person, "id")?;
        let mut at = minute(plan, "start")?;
        let mut shown = Vec::new();
        for row in list(&person["stretches"]) {
            let (from, to) = stretch(row)?;
            if from != at {
                return Err(format!("{code}: a gap, or two things at once, before {row}"));
            }
            at = to;
            if row["kind"] == "task" {
                join(&mut shown, word(row, "ref")?, (from, to));
            }
        }
        if at != minute(plan, "end")? {
            return Err(format!("{code}: the last stretch does not end with the plan"));
        }
        let mut own: Vec<&Piece<'_>> = pieces.iter().filter(|piece| piece.person == code).collect();
        own.sort_by_key(|piece| piece.span);
        let mut worked = Vec::new();
        for piece in own {
            join(&mut worked, piece.task, piece.span);
        }
        if shown != worked {
            return Err(format!("{code}: the stretches show {shown:?}, the spells {worked:?}"));
        }
    }
    Ok(())
}

/// Adds a stretch on a task to those before it; what goes on without a break is one.
fn join<'a>(list: &mut Vec<(&'a str, Stretch)>, task: &'a str, span: Stretch) {
    match list.last_mut() {
        Some((same, before)) if *same == task && before.1 == span.0 => before.1 = span.1,
        _ => list.push((task, span)),
    }
}

/// Labour of tasks and people is the sum of their pieces.
fn hours_add_up(plan: &Value, pieces: &[Piece<'_>]) -> Result<(), String> {
    let sum =
        |of: &dyn Fn(&Piece<'_>) -> bool| pieces.iter().filter(|piece| of(piece)).map(|piece| piece.span.1 - piece.span.0).sum::<i64>();
    for (rows, of_task) in [(&plan["tasks"], true), (&plan["people"], false)] {
        for row in list(rows) {
            let code = word(row, "id")?;
            let minutes = sum(&|piece| code == if of_task { piece.task } else { piece.person });
            let said = row["labour_hours"].as_f64().unwrap_or(f64::NAN) * 60.0;
            let counted = f64::from(i32::try_from(minutes).map_err(|why| why.to_string())?);
            if (said - counted).abs() > 0.5 || said.is_nan() {
                return Err(format!("{code}: labour of {said} minutes is said, and its spells have {counted}"));
            }
        }
    }
    Ok(())
}

/// No more of a tool is in use at once than there is.
fn tools_are_enough(plan: &Value, facts: &Facts) -> Result<(), String> {
    let mut used: Vec<(&str, Stretch)> = Vec::new();
    for spell in list(&plan["tasks"]).iter().flat_map(|task| list(&task["spells"])) {
        for span in worked(spell)? {
            used.extend(list(&spell["tools"]).iter().filter_map(Value::as_str).map(|tool| (tool, span)));
        }
    }
    for (tool, number) in &facts.tools {
        let own: Vec<Stretch> = used.iter().filter(|(code, _)| code == tool).map(|(_, span)| *span).collect();
        let at_once = |from: i64| own.iter().filter(|(begins, ends)| *begins <= from && from < *ends).count();
        if let Some((from, _)) = own.iter().find(|(from, _)| at_once(*from) > *number) {
            return Err(format!("more than {number} of {tool} in use at minute {from}"));
        }
    }
    Ok(())
}

/// Every task of the job has its spells, unless the log speaks of it, or it was over before or by the plan before.
fn nothing_is_left(plan: &Value, facts: &Facts, before: Option<&Before<'_>>) -> Result<(), String> {
    let start = minute(plan, "start")?;
    for task in &facts.tasks {
        if let Some(row) = list(&plan["tasks"]).iter().find(|row| row["id"] == task.as_str()) {
            if list(&row["spells"]).is_empty() {
                return Err(format!("{task} is never worked on"));
            }
            continue;
        }
        let told = before.and_then(|before| list(&before.plan["tasks"]).iter().find(|row| row["id"] == task.as_str()));
        let over = match (before, told) {
            (Some(_), Some(row)) => minute(row, "end")? <= start,
            (Some(before), None) => before.over.contains(task),
            (None, _) => false,
        };
        if !over && !facts.logged.contains(task) {
            return Err(format!("{task} is not in the plan, and nothing says that it is done or dropped"));
        }
    }
    Ok(())
}

/// What comes after a task begins when that is over.
fn order_is_kept(plan: &Value, facts: &Facts) -> Result<(), String> {
    let row = |code: &str| list(&plan["tasks"]).iter().find(|row| row["id"] == code);
    for (task, before) in &facts.after {
        if let (Some(task), Some(before)) = (row(task), row(before))
            && minute(task, "start")? < minute(before, "end")?
        {
            return Err(format!("{} begins before the end of {}", task["id"], before["id"]));
        }
    }
    Ok(())
}
