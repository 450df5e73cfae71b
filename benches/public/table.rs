//! The table of a set: a row a method and count.

use crate::instances::Instance;
use crate::race::{Method, Reading};

/// Sums over the instances of a set.
pub(crate) struct Row {
    method: Method,
    count: u64,
    files: usize,
    /// Instances with a proven best, and how many of them were matched.
    proven: usize,
    matched: usize,
    /// Instances with a best known, the sum of gaps to it and the worst gap, in per cent.
    known: usize,
    gap: f64,
    worst: f64,
    /// Sum of per cent above the longest chain.
    above: f64,
    made: u64,
    seconds: f64,
    to_best: Vec<f64>,
}

impl Row {
    /// Adds the readings of one instance.
    pub(crate) fn add(rows: &mut Vec<Self>, instance: &Instance, readings: &[Reading]) {
        for reading in readings {
            let at = rows.iter().position(|r| r.method == reading.method && r.count == reading.count).unwrap_or_else(|| {
                rows.push(Self::empty(reading));
                rows.len() - 1
            });
            rows[at].count_in(instance, reading);
        }
    }

    fn empty(reading: &Reading) -> Self {
        Self {
            method: reading.method,
            count: reading.count,
            files: 0,
            proven: 0,
            matched: 0,
            known: 0,
            gap: 0.0,
            worst: 0.0,
            above: 0.0,
            made: 0,
            seconds: 0.0,
            to_best: Vec::new(),
        }
    }

    fn count_in(&mut self, instance: &Instance, reading: &Reading) {
        self.files += 1;
        self.made += reading.made;
        self.seconds += reading.seconds;
        self.to_best.push(reading.seconds_to_best);
        self.above += per_cent(reading.makespan, instance.project.chain());
        if let Some(best) = instance.known.best {
            let gap = per_cent(reading.makespan, best);
            self.known += 1;
            self.gap += gap;
            self.worst = if self.known == 1 { gap } else { self.worst.max(gap) };
            if instance.known.proven {
                self.proven += 1;
                self.matched += usize::from(reading.makespan == best);
            }
        }
    }
}

#[allow(clippy::cast_precision_loss, reason = "makespans are small")]
fn per_cent(value: usize, of: usize) -> f64 {
    100.0 * (value as f64 / of.max(1) as f64 - 1.0)
}

/// The head of the table.
pub(crate) fn print_title() {
    println!(
        "{:<8} {:<6} {:>9} {:>5} {:>9} {:>8} {:>8} {:>8} {:>10} {:>8} {:>8}",
        "set", "method", "schedules", "files", "proven", "mean gap", "worst", "above", "schedules", "to best", "to best"
    );
    println!(
        "{:<8} {:<6} {:>9} {:>5} {:>9} {:>8} {:>8} {:>8} {:>10} {:>8} {:>8}",
        "", "", "each", "", "matched", "to best", "gap", "chain", "a second", "median s", "worst s"
    );
}

/// One row of the table.
#[allow(clippy::cast_precision_loss, reason = "counts of schedules and files are small")]
pub(crate) fn print_row(set: &str, row: &Row) {
    let mut times = row.to_best.clone();
    times.sort_by(f64::total_cmp);
    let median = times.get(times.len() / 2).copied().unwrap_or(0.0);
    let slowest = times.last().copied().unwrap_or(0.0);
    let matched = if row.proven == 0 { "-".to_owned() } else { format!("{}/{}", row.matched, row.proven) };
    let per_file = |sum: f64, files: usize| if files == 0 { "-".to_owned() } else { format!("{:.2} %", sum / files as f64) };
    // The system counts processor time in ticks of some milliseconds.
    let rate = if row.seconds < 0.05 { "-".to_owned() } else { format!("{:.0}", row.made as f64 / row.seconds) };
    println!(
        "{set:<8} {:<6} {:>9} {:>5} {matched:>9} {:>8} {:>8} {:>8} {rate:>10} {median:>8.3} {slowest:>8.3}",
        row.method.name(),
        row.count,
        row.files,
        per_file(row.gap, row.known),
        if row.known == 0 { "-".to_owned() } else { format!("{:.2} %", row.worst) },
        per_file(row.above, row.files),
    );
}
