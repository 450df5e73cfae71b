//! Near misses: what was probably meant.

#[cfg(test)]
mod tests;

/// The candidate closest to `word`, if it is close enough to be meant: the same but for capitals, or a few
/// letters changed, missing, doubled or swapped. The first of equally close ones.
pub(super) fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain: Vec<char> = simplify(word);
    let allowed = match plain.len() {
        0 => return None,
        1..=5 => 1,
        6..=8 => 2,
        _ => 3,
    };
    candidates
        .into_iter()
        .map(|candidate| (distance(&plain, &simplify(candidate)), candidate))
        .filter(|(d, candidate)| *d <= allowed && (*d == 0 || candidate.chars().count() > 1 && plain.len() > 1))
        .min_by_key(|(d, _)| *d)
        .map(|(_, candidate)| candidate)
}

fn simplify(word: &str) -> Vec<char> {
    word.chars().take(64).filter(|c| !matches!(c, '_' | '-' | ' ')).flat_map(char::to_lowercase).collect()
}

/// Letters to change, add, leave out or swap with their neighbour (optimal string alignment distance).
fn distance(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i; b.len() + 1];
        for j in 1..=b.len() {
            let change = usize::from(a[i - 1] != b[j - 1]);
            row[j] = (last[j] + 1).min(row[j - 1] + 1).min(last[j - 1] + change);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                row[j] = row[j].min(before[j - 2] + 1);
            }
        }
        before = std::mem::replace(&mut last, row);
    }
    last[b.len()]
}
