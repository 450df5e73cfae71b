//! A second reader of the raw files, to check schedules with: written on its own, word by word, and with
//! nothing of the first reader in it. It keeps the activities without a length and works out the end of
//! everything from the starts alone.

use std::collections::BTreeMap;

use crate::instances::Format;

/// What a schedule says of one activity.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    /// Its number in the file.
    pub(crate) number: usize,
    /// Time units from 0.
    pub(crate) start: i64,
    pub(crate) end: i64,
    /// People by their row in the file, from 0, in the order of the skills that are asked for.
    pub(crate) team: Vec<usize>,
}

/// A file as this reader sees it.
#[derive(Default)]
struct Sheet {
    lengths: BTreeMap<usize, i64>,
    /// Pairs: the second may start when the first has ended.
    order: Vec<(usize, usize)>,
    /// Per resource, its size and what each activity takes of it.
    loads: Vec<(i64, BTreeMap<usize, i64>)>,
    /// Per activity, the skill each member of the team brings.
    skills: BTreeMap<usize, Vec<usize>>,
    /// Who has which skill.
    has: Vec<Vec<bool>>,
}

/// The makespan of a schedule that keeps every rule of the file.
///
/// # Errors
/// The first rule it breaks, in words.
pub(crate) fn makespan(format: Format, text: &str, schedule: &[Placed]) -> Result<i64, String> {
    let sheet = match format {
        Format::Psplib => project_sheet(text),
        Format::JobShop => shop_sheet(text),
        Format::MultiSkill => skill_sheet(text),
    }
    .ok_or("the second reader does not understand the file")?;
    let mut ends: BTreeMap<usize, i64> = BTreeMap::new();
    let mut starts: BTreeMap<usize, i64> = BTreeMap::new();
    for placed in schedule {
        let length = *sheet.lengths.get(&placed.number).ok_or_else(|| format!("there is no activity {}", placed.number))?;
        if placed.start < 0 || placed.end - placed.start != length {
            return Err(format!("activity {} runs {} to {}, its length is {length}", placed.number, placed.start, placed.end));
        }
        if starts.insert(placed.number, placed.start).is_some() {
            return Err(format!("activity {} is done twice", placed.number));
        }
        ends.insert(placed.number, placed.end);
    }
    // Activities without a length start as soon as they may: over and over until nothing moves.
    let idle: Vec<usize> = sheet.lengths.iter().filter(|(_, length)| **length == 0).map(|(number, _)| *number).collect();
    for number in &idle {
        starts.insert(*number, 0);
        ends.insert(*number, 0);
    }
    for _ in 0..=idle.len() {
        for (before, after) in &sheet.order {
            if idle.contains(after) && ends.get(before) > starts.get(after) {
                let at = ends[before];
                starts.insert(*after, at);
                ends.insert(*after, at);
            }
        }
    }
    if let Some(missing) = sheet.lengths.keys().find(|number| !starts.contains_key(number)) {
        return Err(format!("activity {missing} is not done"));
    }
    for (before, after) in &sheet.order {
        if starts[after] < ends[before] {
            return Err(format!("activity {after} starts at {} though {before} ends at {}", starts[after], ends[before]));
        }
    }
    resources(&sheet, &starts, &ends)?;
    teams(&sheet, schedule)?;
    Ok(ends.values().copied().max().unwrap_or(0))
}

/// What is taken of a resource changes only at starts, so it is enough to look there.
fn resources(sheet: &Sheet, starts: &BTreeMap<usize, i64>, ends: &BTreeMap<usize, i64>) -> Result<(), String> {
    for (resource, (size, takes)) in sheet.loads.iter().enumerate() {
        for time in starts.values() {
            let taken: i64 = takes.iter().filter(|(number, _)| starts[number] <= *time && *time < ends[number]).map(|(_, n)| n).sum();
            if taken > *size {
                return Err(format!("{taken} of {size} of resource {} are taken at {time}", resource + 1));
            }
        }
    }
    Ok(())
}

fn teams(sheet: &Sheet, schedule: &[Placed]) -> Result<(), String> {
    let mut busy: Vec<(usize, i64, i64, usize)> = Vec::new();
    for placed in schedule {
        let asked = sheet.skills.get(&placed.number).map_or(&[][..], Vec::as_slice);
        if asked.len() != placed.team.len() {
            return Err(format!("activity {} asks for {} people and has {}", placed.number, asked.len(), placed.team.len()));
        }
        for (person, skill) in placed.team.iter().zip(asked) {
            if !sheet.has.get(*person).and_then(|row| row.get(*skill)).copied().unwrap_or(false) {
                return Err(format!("person {} lacks skill {} for activity {}", person + 1, skill + 1, placed.number));
            }
            busy.push((*person, placed.start, placed.end, placed.number));
        }
    }
    busy.sort_unstable();
    for pair in busy.windows(2) {
        if pair[0].0 == pair[1].0 && pair[1].1 < pair[0].2 {
            return Err(format!("person {} is on activities {} and {} at once", pair[0].0 + 1, pair[0].3, pair[1].3));
        }
    }
    Ok(())
}

/// The `.sm` layout, by counting words: sections are found by their titles, rows by how many numbers they say
/// they have.
fn project_sheet(text: &str) -> Option<Sheet> {
    let after = |title: &str| text.split_once(title).map(|(_, rest)| rest);
    let value = |title: &str| -> Option<usize> { after(title)?.split_once(':')?.1.split_whitespace().next()?.parse().ok() };
    let jobs = value("jobs (incl. supersource/sink )")?;
    let resources = value("- renewable")?;
    let ints = |rest: &str| -> Vec<i64> { rest.split_whitespace().filter_map(|w| w.parse().ok()).collect() };
    let mut sheet = Sheet::default();

    let mut numbers = ints(after("successors   successors")?).into_iter();
    for _ in 0..jobs {
        let job = usize::try_from(numbers.next()?).ok()?;
        let _modes = numbers.next()?;
        for _ in 0..numbers.next()? {
            sheet.order.push((job, usize::try_from(numbers.next()?).ok()?));
        }
    }
    // The names of the resources are letters and numbers apart ("R 1"); the rule below them ends the head.
    let body = after("jobnr. mode duration")?.split_once('\n')?.1;
    let mut numbers = ints(body.split_once('\n')?.1).into_iter();
    sheet.loads = vec![(0, BTreeMap::new()); resources];
    for _ in 0..jobs {
        let job = usize::try_from(numbers.next()?).ok()?;
        let _mode = numbers.next()?;
        sheet.lengths.insert(job, numbers.next()?);
        for load in &mut sheet.loads {
            load.1.insert(job, numbers.next()?);
        }
    }
    let head = after("RESOURCEAVAILABILITIES:")?.trim_start_matches(['\r', '\n']);
    let mut numbers = ints(head.split_once('\n')?.1).into_iter();
    for load in &mut sheet.loads {
        load.0 = numbers.next()?;
    }
    Some(sheet)
}

/// Job-shop rows: operation `j * machines + k + 1` is the `k`-th of job `j`.
fn shop_sheet(text: &str) -> Option<Sheet> {
    let mut rows = text.lines().filter(|l| !l.starts_with('#') && !l.trim().is_empty());
    let mut head = rows.next()?.split_whitespace();
    let _jobs: usize = head.next()?.parse().ok()?;
    let machines: usize = head.next()?.parse().ok()?;
    let mut sheet = Sheet { loads: vec![(1, BTreeMap::new()); machines], ..Sheet::default() };
    for (job, row) in rows.enumerate() {
        let cells: Vec<i64> = row.split_whitespace().map(|w| w.parse().ok()).collect::<Option<_>>()?;
        for (k, pair) in cells.chunks(2).enumerate() {
            let number = job * machines + k + 1;
            sheet.lengths.insert(number, *pair.get(1)?);
            sheet.loads.get_mut(usize::try_from(pair[0]).ok()?)?.1.insert(number, 1);
            if k > 0 {
                sheet.order.push((number - 1, number));
            }
        }
    }
    Some(sheet)
}

/// `.dzn` data, by looking for each name and reading on to the semicolon.
fn skill_sheet(text: &str) -> Option<Sheet> {
    let find = |name: &str| -> Option<&str> {
        let from = text.find(&format!("\n{name} ="))?;
        text[from..].split_once('=')?.1.split(';').next()
    };
    let ints = |name: &str| -> Option<Vec<i64>> {
        let tidy: String = find(name)?.chars().map(|c| if c.is_ascii_digit() { c } else { ' ' }).collect();
        tidy.split_whitespace().map(|w| w.parse().ok()).collect()
    };
    let skills = usize::try_from(*ints("nSkills")?.first()?).ok()?;
    let mut sheet = Sheet::default();
    for (i, length) in ints("dur")?.into_iter().enumerate() {
        sheet.lengths.insert(i + 1, length);
    }
    for (i, row) in ints("sreq")?.chunks(skills).enumerate() {
        let mut team = Vec::new();
        for (skill, number) in row.iter().enumerate() {
            for _ in 0..*number {
                team.push(skill);
            }
        }
        sheet.skills.insert(i + 1, team);
    }
    let words: Vec<bool> = find("mastery")?.split([',', '|', '[', ']']).filter_map(|w| w.trim().parse().ok()).collect();
    sheet.has = words.chunks(skills).map(<[bool]>::to_vec).collect();
    for (from, to) in ints("pred")?.into_iter().zip(ints("succ")?) {
        sheet.order.push((usize::try_from(from).ok()?, usize::try_from(to).ok()?));
    }
    Some(sheet)
}
