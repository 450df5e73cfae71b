//! Lengths of time as people write them; exact integer arithmetic, whole minutes out.

#[cfg(test)]
mod tests;

/// Minutes in a decimal number of hours, to the nearest minute; exact integer arithmetic.
pub(super) fn decimal_minutes(text: &str) -> Option<i64> {
    let (sign, digits) = match text.strip_prefix('-') {
        Some(rest) => (-1, rest),
        None => (1, text.strip_prefix('+').unwrap_or(text)),
    };
    let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
    let all_digits = |s: &str| s.bytes().all(|b| b.is_ascii_digit());
    if whole.is_empty() || whole.len() > 9 || fraction.len() > 9 || !all_digits(whole) || !all_digits(fraction) {
        return None;
    }
    let hours: i64 = whole.parse().ok()?;
    let scale = 10_i64.pow(u32::try_from(fraction.len()).ok()?);
    let part: i64 = if fraction.is_empty() { 0 } else { fraction.parse().ok()? };
    Some(sign * (hours * 60 + (part * 60 + scale / 2) / scale))
}

/// A number written with a comma (`0,5`), with a point; `None` where it is something else.
pub(super) fn with_point(text: &str) -> Option<String> {
    let (whole, part) = text.trim().split_once(',')?;
    let digits = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    (digits(whole) && digits(part)).then(|| format!("{whole}.{part}"))
}

/// Minutes in a length written as text: `12h`, `12 h`, `1.5 h`, `90 min`, `1 h 30`, `1 h 30 min`, `12`.
pub(super) fn length_minutes(text: &str) -> Option<i64> {
    let text = text.trim().to_ascii_lowercase();
    if let Some(minutes) = text.strip_suffix("min") {
        let minutes = minutes.trim();
        return match minutes.split_once('h') {
            Some((hours, rest)) => Some(decimal_minutes(hours.trim())? + rest.trim().parse::<u16>().ok().map(i64::from)?),
            None => minutes.parse::<u32>().ok().map(i64::from),
        };
    }
    match text.split_once('h') {
        Some((hours, "")) => decimal_minutes(hours.trim()),
        Some((hours, rest)) => Some(decimal_minutes(hours.trim())? + rest.trim().parse::<u16>().ok().map(i64::from)?),
        None => decimal_minutes(&text),
    }
}
