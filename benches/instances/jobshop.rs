//! Job-shops as plain rows: after the numbers of jobs and machines, a row a job with machine and length of
//! each operation in order; lines that start with `#` are notes.

use super::{Project, Raw};

/// Reads one file.
///
/// # Errors
/// What is missing or is no number.
pub(super) fn read(text: &str) -> Result<Project, String> {
    let mut numbers = text
        .lines()
        .filter(|l| !l.trim_start().starts_with('#'))
        .flat_map(str::split_whitespace)
        .map(|word| word.parse::<usize>().map_err(|_| format!("`{word}` is no number")));
    let mut next = |what: &str| numbers.next().unwrap_or_else(|| Err(format!("the file ends before {what}")));
    let jobs = next("the number of jobs")?;
    let machines = next("the number of machines")?;
    let mut raw = Vec::with_capacity(jobs * machines);
    for _ in 0..jobs {
        for operation in 0..machines {
            let machine = next("a machine")?;
            if machine >= machines {
                return Err(format!("there is no machine {machine}"));
            }
            let length = next("a length")?;
            let after = if operation == 0 { Vec::new() } else { vec![raw.len() - 1] };
            raw.push(Raw { length, after, uses: vec![(machine, 1)], skills: Vec::new() });
        }
    }
    Project::from_raw(&raw, vec![1; machines], Vec::new())
}
