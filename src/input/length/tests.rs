//! Lengths of time, exactly.

use crate::input::length::{decimal_minutes, length_minutes};

/// If this fails, hours are rounded wrongly: to the nearest minute, halves up.
#[test]
fn decimal_hours() {
    // 0.33 h is 19.8 min, 0.005 h is 0.3 min, 0.025 h is 1.5 min.
    let cases = [
        ("1", 60),
        ("1.5", 90),
        ("0.33", 20),
        ("0.005", 0),
        ("0.025", 2),
        ("-2.5", -150),
        ("+1", 60),
        ("000.25", 15),
        ("999999999", 59_999_999_940),
    ];
    for (text, minutes) in cases {
        assert_eq!(decimal_minutes(text), Some(minutes), "{text}");
    }
    for text in ["", ".", ".5", "1e3", "inf", "nan", "1_0", "1234567890", "1.0000000001", "--1", "1 5"] {
        assert_eq!(decimal_minutes(text), None, "{text}");
    }
}

/// If this fails, a length written with its unit is taken for another.
#[test]
fn lengths_with_units() {
    for (text, minutes) in [
        ("12h", 720),
        ("12 h", 720),
        ("1.5 h", 90),
        ("90 min", 90),
        ("90min", 90),
        ("1 h 30", 90),
        ("1h30 min", 90),
        ("12", 720),
        ("2 H", 120),
    ] {
        assert_eq!(length_minutes(text), Some(minutes), "{text}");
    }
    for text in ["", "h", "min", "1 d", "1 h x", "half an hour", "1.5 min", "99999999999 min"] {
        assert_eq!(length_minutes(text), None, "{text}");
    }
}
