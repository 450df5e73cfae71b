//! Multi-skill projects as `.dzn` data (Young, Feydy and Schutt, CP 2017): assignments of numbers, lists
//! and tables, each ended by a semicolon; `%` starts a note.

use std::collections::BTreeMap;

use super::{Project, Raw};

/// Reads one file.
///
/// # Errors
/// What is missing, is no number, or does not have the size the file says.
pub(super) fn read(text: &str) -> Result<Project, String> {
    let plain: String = text.lines().map(|l| l.split('%').next().unwrap_or_default()).collect::<Vec<_>>().join("\n");
    let mut values: BTreeMap<&str, &str> = BTreeMap::new();
    for statement in plain.split(';') {
        if let Some((name, value)) = statement.split_once('=') {
            values.insert(name.trim(), value.trim());
        }
    }
    let value = |name: &str| values.get(name).copied().ok_or_else(|| format!("`{name}` is missing"));
    let number = |name: &str| value(name)?.parse::<usize>().map_err(|_| format!("`{name}` is no number"));
    let list = |name: &str| {
        let cells = cells(value(name)?);
        cells.iter().map(|c| c.parse::<usize>().map_err(|_| format!("{name}: `{c}` is no number"))).collect::<Result<Vec<_>, _>>()
    };
    let (count, skills, people) = (number("nActs")?, number("nSkills")?, number("nResources")?);
    let (lengths, required) = (list("dur")?, list("sreq")?);
    let (before, after) = (list("pred")?, list("succ")?);
    let masters: Vec<bool> = cells(value("mastery")?).iter().map(|c| *c == "true").collect();
    let sizes = [
        (lengths.len(), count),
        (required.len(), count * skills),
        (masters.len(), people * skills),
        (before.len(), number("nPrecs")?),
        (after.len(), before.len()),
    ];
    if let Some((have, want)) = sizes.iter().find(|(have, want)| have != want) {
        return Err(format!("a table has {have} cells where {want} are due"));
    }
    let mut raw: Vec<Raw> = (0..count)
        .map(|i| {
            let row = &required[i * skills..(i + 1) * skills];
            let needs = row.iter().enumerate().flat_map(|(skill, n)| std::iter::repeat_n(skill, *n)).collect();
            Raw { length: lengths[i], skills: needs, ..Raw::default() }
        })
        .collect();
    for (from, to) in before.iter().zip(&after) {
        let one = to.checked_sub(1).and_then(|i| raw.get_mut(i)).ok_or("an activity that is not there")?;
        one.after.push(from.checked_sub(1).ok_or("an activity that is not there")?);
    }
    Project::from_raw(&raw, Vec::new(), masters.chunks(skills.max(1)).map(<[bool]>::to_vec).collect())
}

/// The cells of a list `[a,b]` or of a table `[| a,b, | c,d, |]`, row by row.
fn cells(value: &str) -> Vec<&str> {
    value.split(['[', ']', '|', ',']).map(str::trim).filter(|c| !c.is_empty()).collect()
}
