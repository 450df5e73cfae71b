//! Resource-constrained projects in the `.sm` layout (Kolisch and Sprecher, European Journal of
//! Operational Research 96, 1997): fixed sections of whitespace-separated numbers.

use super::{Project, Raw};

/// Reads one file.
///
/// # Errors
/// What is missing or is no number.
pub(super) fn read(text: &str) -> Result<Project, String> {
    let lines: Vec<&str> = text.lines().collect();
    let section = |title: &str, skip: usize| {
        lines.iter().position(|l| l.starts_with(title)).map(|at| at + skip).ok_or_else(|| format!("no section `{title}`"))
    };
    let rows = |from: usize| lines.iter().skip(from).take_while(|l| !l.starts_with('*')).map(|l| numbers(l)).collect::<Result<Vec<_>, _>>();

    let precedence = rows(section("PRECEDENCE RELATIONS", 2)?)?;
    let demand = rows(section("REQUESTS/DURATIONS", 3)?)?;
    let capacities = rows(section("RESOURCEAVAILABILITIES", 2)?)?.into_iter().next().ok_or("no capacities")?;
    if precedence.len() != demand.len() {
        return Err(format!("{} activities have followers, {} have a length", precedence.len(), demand.len()));
    }
    let mut raw = vec![Raw::default(); demand.len()];
    for row in &precedence {
        let [number, modes, count, followers @ ..] = row.as_slice() else { return Err("a short row of followers".to_owned()) };
        if *modes != 1 || followers.len() != *count {
            return Err(format!("activity {number} has several modes, or not the number of followers it says"));
        }
        for follower in followers {
            let at = follower.checked_sub(1).filter(|i| *i < raw.len()).ok_or("a follower that is not there")?;
            raw[at].after.push(number - 1);
        }
    }
    for row in &demand {
        let [number, _mode, length, uses @ ..] = row.as_slice() else { return Err("a short row of demands".to_owned()) };
        let one = raw.get_mut(number - 1).ok_or("an activity that is not there")?;
        one.length = *length;
        one.uses = uses.iter().enumerate().filter(|(_, n)| **n > 0).map(|(r, n)| Ok((r, small(*n)?))).collect::<Result<_, String>>()?;
    }
    let capacities = capacities.into_iter().map(small).collect::<Result<_, _>>()?;
    Project::from_raw(&raw, capacities, Vec::new())
}

fn numbers(line: &str) -> Result<Vec<usize>, String> {
    line.split_whitespace().map(|word| word.parse().map_err(|_| format!("`{word}` is no number"))).collect()
}

fn small(n: usize) -> Result<u32, String> {
    u32::try_from(n).map_err(|_| format!("{n} is too large"))
}
