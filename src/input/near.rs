//! Near misses: what was probably meant.

#[cfg(test)]
mod tests;

use std::cmp::Ordering;

/// The candidate closest to `word`, if it is close enough to be meant: the same but for capitals, or a few
/// letters changed, missing, doubled or swapped; of equally close ones the one that looks the same. None where there are
/// several of these: of `T1` to `T9` none is more likely to be meant by `T0` than another.
pub(super) fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    one(&near(word, candidates))
}

/// What to write where `word` is neither one of `names` nor one of the `words` that may stand there as well: what comes
/// nearest, and where a word comes as near as a name, both. None where nothing is close enough to be meant.
pub(super) fn remedy<'a>(word: &str, names: impl IntoIterator<Item = &'a str>, words: &[&'a str]) -> Option<String> {
    told(&meant(word, names, words))
}

/// What to write where these come nearest.
pub(super) fn told(near: &[&str]) -> Option<String> {
    match near {
        [] => None,
        [one] => Some(format!("write `{one}` if that is what is meant")),
        several => Some(format!("write `{}` if one of them is what is meant", several.join("` or `"))),
    }
}

/// The same as a list: nothing, one of them, or a word and a name.
pub(super) fn meant<'a>(word: &str, names: impl IntoIterator<Item = &'a str>, words: &[&'a str]) -> Vec<&'a str> {
    let (names, words) = (near(word, names), near(word, words.iter().copied()));
    let far = |list: &[Near<'_>]| list.first().map_or(usize::MAX, |((distance, _), _)| *distance);
    let (name, word) = (one(&names), one(&words));
    match far(&words).cmp(&far(&names)) {
        Ordering::Less => word.into_iter().collect(),
        Ordering::Equal => word.into_iter().chain(name).collect(),
        Ordering::Greater => name.into_iter().collect(),
    }
}

/// What to write where a phrase cannot be read and a word of it is nearly one of `words`.
pub(super) fn slip(phrase: &str, words: &[&str]) -> Option<String> {
    let written = phrase.split(|c: char| !c.is_alphabetic()).filter(|word| word.chars().count() > 1);
    let strange = written.filter(|word| !words.iter().any(|known| known.eq_ignore_ascii_case(word)));
    let mut slips = strange.filter_map(|word| Some((word, nearest(word, words.iter().copied())?)));
    slips.next().map(|(word, near)| format!("write `{near}` in place of `{word}` if that is what is meant"))
}

/// A candidate with how far it is: letters first, looks then.
type Near<'a> = ((usize, usize), &'a str);

/// The candidates that are close enough to be meant, the closest first.
fn near<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Vec<Near<'a>> {
    let plain: Vec<char> = simplify(word);
    let allowed = match plain.len() {
        0 => return Vec::new(),
        1..=5 => 1,
        6..=8 => 2,
        _ => 3,
    };
    let rank = |candidate: &str| {
        let other = simplify(candidate);
        (distance(&plain, &other), distance(&alike(&plain), &alike(&other)))
    };
    let mut near: Vec<Near<'_>> = candidates
        .into_iter()
        .map(|candidate| (rank(candidate), candidate))
        .filter(|((d, _), candidate)| *d <= allowed && (*d == 0 || candidate.chars().count() > 1 && plain.len() > 1))
        .collect();
    near.sort_unstable();
    near.dedup();
    near
}

/// The closest, if there is no other that is as close.
fn one<'a>(near: &[Near<'a>]) -> Option<&'a str> {
    match near {
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
