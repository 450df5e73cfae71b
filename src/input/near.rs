//! Near misses: what was probably meant.

#[cfg(test)]
mod tests;

/// The candidate closest to `word`, if it is close enough to be meant: the same but for capitals, or a few
/// letters changed, missing, doubled or swapped; of equally close ones the one that looks the same. None where there are
/// several of these: of `T1` to `T9` none is more likely to be meant by `T0` than another.
pub(super) fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let plain: Vec<char> = simplify(word);
    let allowed = match plain.len() {
        0 => return None,
        1..=5 => 1,
        6..=8 => 2,
        _ => 3,
    };
    let rank = |candidate: &str| {
        let other = simplify(candidate);
        (distance(&plain, &other), distance(&alike(&plain), &alike(&other)))
    };
    let mut near: Vec<((usize, usize), &str)> = candidates
        .into_iter()
        .map(|candidate| (rank(candidate), candidate))
        .filter(|((d, _), candidate)| *d <= allowed && (*d == 0 || candidate.chars().count() > 1 && plain.len() > 1))
        .collect();
    near.sort_unstable();
    near.dedup();
    match near.as_slice() {
        [(best, _), (next, _), ..] if best == next && best.0 > 0 => None,
        [(_, candidate), ..] => Some(candidate),
        [] => None,
    }
}

/// Letters and digits that look the same taken for one.
fn alike(word: &[char]) -> Vec<char> {
    let one = |c: &char| match c {
        'i' | 'l' => '1',
        'o' => '0',
        other => *other,
    };
    word.iter().map(one).collect()
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
