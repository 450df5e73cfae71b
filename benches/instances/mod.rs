//! Public scheduling instances as ordinary problems.
//!
//! Readers for three published text formats, one plain [`Project`] for all of them, and a builder that
//! turns a project into a [`turnto::model::Problem`]. Nothing here is known to the library: a public
//! instance is a job without watches, rest rules or breaks, with one working stretch round the clock.

mod build;
mod jobshop;
mod multiskill;
mod psplib;

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

pub(crate) use build::{origin, problem};

/// The folder of instances is named by this variable.
pub(crate) const FOLDER: &str = "TURNTO_DATASETS";

/// An instance in plain numbers, all times in time units.
#[derive(Clone, Debug)]
pub(crate) struct Project {
    /// Activities that take time; those without a length are replaced by the order they stand for.
    pub(crate) activities: Vec<Activity>,
    /// How many there are of each renewable resource.
    pub(crate) capacities: Vec<u32>,
    /// Per person, which skills he has.
    pub(crate) masters: Vec<Vec<bool>>,
}

/// One activity.
#[derive(Clone, Debug)]
pub(crate) struct Activity {
    /// Its number in the file, from 1; a job-shop's operations are numbered row by row.
    pub(crate) number: usize,
    /// How long it takes.
    pub(crate) length: usize,
    /// Positions in the table of what must have ended.
    pub(crate) after: Vec<usize>,
    /// How many of which resource it holds.
    pub(crate) uses: Vec<(usize, u32)>,
    /// One entry a person: the skill he brings.
    pub(crate) skills: Vec<usize>,
}

/// What is known about an instance beforehand.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Known {
    /// No schedule is shorter.
    pub(crate) lower: Option<usize>,
    /// Best known makespan.
    pub(crate) best: Option<usize>,
    /// Whether that is proven to be the least.
    pub(crate) proven: bool,
}

/// Which text format a file has.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(crate) enum Format {
    /// Resource-constrained projects, `.sm`.
    Psplib,
    /// Job-shops as rows of machines and lengths.
    JobShop,
    /// Multi-skill projects, `.dzn`.
    MultiSkill,
}

/// One file of the data folder.
#[derive(Clone, Debug)]
pub(crate) struct Instance {
    /// The set it belongs to (`j30`, `set-1a`, `jobshop`).
    pub(crate) set: String,
    /// File name.
    pub(crate) name: String,
    /// The text, for the second reader.
    pub(crate) text: String,
    pub(crate) format: Format,
    pub(crate) project: Project,
    pub(crate) known: Known,
}

/// The sets in the order of the table.
const SETS: [(&str, &str, Format); 12] = [
    ("jobshop", "jobshop", Format::JobShop),
    ("j30", "psplib/j30", Format::Psplib),
    ("j60", "psplib/j60", Format::Psplib),
    ("j120", "psplib/j120", Format::Psplib),
    ("set-1a", "mspsp/set-1a", Format::MultiSkill),
    ("set-1b", "mspsp/set-1b", Format::MultiSkill),
    ("set-2a", "mspsp/set-2a", Format::MultiSkill),
    ("set-2b", "mspsp/set-2b", Format::MultiSkill),
    ("set-2c", "mspsp/set-2c", Format::MultiSkill),
    ("set-3a", "mspsp/set-3a", Format::MultiSkill),
    ("set-3b", "mspsp/set-3b", Format::MultiSkill),
    ("set-3c", "mspsp/set-3c", Format::MultiSkill),
];

/// The names of the sets.
pub(crate) fn sets() -> impl Iterator<Item = &'static str> {
    SETS.iter().map(|(name, _, _)| *name)
}

/// All files of a set whose name contains `part`, sorted by name with numbers in their natural order.
///
/// # Errors
/// A folder that cannot be read, or a file that is not what it should be, in words.
pub(crate) fn read_set(folder: &Path, set: &str, part: &str) -> Result<Vec<Instance>, String> {
    let (_, under, format) = SETS.iter().find(|(name, _, _)| *name == set).ok_or_else(|| format!("there is no set `{set}`"))?;
    let known = known(folder)?;
    let mut files: Vec<PathBuf> = fs::read_dir(folder.join(under))
        .map_err(|e| format!("{under}: {e}"))?
        .map(|entry| entry.map(|e| e.path()).map_err(|e| format!("{under}: {e}")))
        .collect::<Result<_, _>>()?;
    files.sort_by_key(|path| natural(&path.to_string_lossy()));
    let mut instances = Vec::new();
    for path in files {
        let name = path.file_name().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        if !name.contains(part) {
            continue;
        }
        let text = fs::read_to_string(&path).map_err(|e| format!("{name}: {e}"))?;
        let project = match format {
            Format::Psplib => psplib::read(&text),
            Format::JobShop => jobshop::read(&text),
            Format::MultiSkill => multiskill::read(&text),
        }
        .map_err(|e| format!("{name}: {e}"))?;
        let known = known.get(&name).copied().unwrap_or_default();
        instances.push(Instance { set: set.to_owned(), name, text, format: *format, project, known });
    }
    Ok(instances)
}

/// Best known makespans by file name. The job-shops are those of Fisher and Thompson (in Muth and Thompson,
/// Industrial Scheduling, 1963), whose least makespans 55 and 930 are proven.
fn known(folder: &Path) -> Result<BTreeMap<String, Known>, String> {
    let mut table = BTreeMap::new();
    table.insert("ft06.txt".to_owned(), Known { lower: Some(55), best: Some(55), proven: true });
    table.insert("ft10.txt".to_owned(), Known { lower: Some(930), best: Some(930), proven: true });
    for (file, name, lower, best) in [("psplib/bounds.csv", 1, 3, 4), ("mspsp/best_known.csv", 1, 5, 6)] {
        let text = fs::read_to_string(folder.join(file)).map_err(|e| format!("{file}: {e}"))?;
        for line in text.lines().skip(1) {
            let cells: Vec<&str> = line.split(',').map(str::trim).collect();
            let cell = |i: usize| cells.get(i).copied().unwrap_or_default();
            let (lower, best) = (cell(lower).parse().ok(), cell(best).parse().ok());
            // A best that meets the lower bound is proven; the multi-skill table says it of others as well, and
            // gives for them the bound it began with.
            let proven = best.is_some() && (lower == best || cell(7) == "1");
            let lower = if proven { best } else { lower };
            table.insert(cell(name).to_owned(), Known { lower, best, proven });
        }
    }
    Ok(table)
}

/// A key that sorts `j30_9` before `j30_10`.
fn natural(name: &str) -> Vec<(u64, String)> {
    let mut key = Vec::new();
    let mut rest = name;
    while !rest.is_empty() {
        let words = rest.find(|c: char| c.is_ascii_digit()).unwrap_or(rest.len());
        let (word, tail) = rest.split_at(words);
        let digits = tail.find(|c: char| !c.is_ascii_digit()).unwrap_or(tail.len());
        let (number, tail) = tail.split_at(digits);
        key.push((number.parse().unwrap_or(0), word.to_owned()));
        rest = tail;
    }
    // Words decide before the numbers that follow them.
    key.into_iter().flat_map(|(number, word)| [(0, word), (number, String::new())]).collect()
}

/// An activity as read, before those without a length are taken out.
#[derive(Clone, Debug, Default)]
pub(crate) struct Raw {
    length: usize,
    after: Vec<usize>,
    uses: Vec<(usize, u32)>,
    skills: Vec<usize>,
}

impl Project {
    /// Takes out activities without a length: what came after them comes after what they came after.
    fn from_raw(raw: &[Raw], capacities: Vec<u32>, masters: Vec<Vec<bool>>) -> Result<Self, String> {
        let mut place = vec![None; raw.len()];
        let mut kept = 0;
        for (i, one) in raw.iter().enumerate() {
            if one.length > 0 {
                place[i] = Some(kept);
                kept += 1;
            }
        }
        let mut activities = Vec::with_capacity(kept);
        for (i, one) in raw.iter().enumerate().filter(|(_, one)| one.length > 0) {
            let mut after = Vec::new();
            let mut open = one.after.clone();
            let mut steps = 0;
            while let Some(before) = open.pop() {
                steps += 1;
                if steps > raw.len() * raw.len() {
                    return Err(format!("activity {} is part of a circle", i + 1));
                }
                match (place.get(before), raw.get(before)) {
                    (Some(Some(at)), _) => after.push(*at),
                    (Some(None), Some(dummy)) => open.extend(&dummy.after),
                    _ => return Err(format!("activity {} comes after one that is not there", i + 1)),
                }
            }
            after.sort_unstable();
            after.dedup();
            activities.push(Activity { number: i + 1, length: one.length, after, uses: one.uses.clone(), skills: one.skills.clone() });
        }
        Ok(Self { activities, capacities, masters })
    }

    /// Positions in an order that respects `after`.
    pub(crate) fn order(&self) -> Vec<usize> {
        let mut waiting: Vec<usize> = self.activities.iter().map(|a| a.after.len()).collect();
        let followers = self.followers();
        let mut ready: Vec<usize> = (0..waiting.len()).filter(|i| waiting[*i] == 0).collect();
        let mut order = Vec::with_capacity(waiting.len());
        while let Some(next) = ready.pop() {
            order.push(next);
            for follower in &followers[next] {
                waiting[*follower] -= 1;
                if waiting[*follower] == 0 {
                    ready.push(*follower);
                }
            }
        }
        order
    }

    /// What comes directly after each activity.
    pub(crate) fn followers(&self) -> Vec<Vec<usize>> {
        let mut followers = vec![Vec::new(); self.activities.len()];
        for (i, activity) in self.activities.iter().enumerate() {
            for before in &activity.after {
                followers[*before].push(i);
            }
        }
        followers
    }

    /// Length of the longest chain.
    pub(crate) fn chain(&self) -> usize {
        let mut ends = vec![0; self.activities.len()];
        for i in self.order() {
            let start = self.activities[i].after.iter().map(|b| ends[*b]).max().unwrap_or(0);
            ends[i] = start + self.activities[i].length;
        }
        ends.into_iter().max().unwrap_or(0)
    }
}
