//! Headings and marks of a grid.

use crate::input::raw::grid::{begins, half, runs};
use crate::model::RecordKind;

/// If this fails, headings as spreadsheets write them are not taken for half-hours, or other columns are.
#[test]
fn headings_name_half_hours() {
    let good =
        [("00:00", 0), ("0:30", 1), ("06.30", 13), ("0630", 13), ("06:30-07:00", 13), ("6", 12), ("6.5", 13), ("6.0", 12), ("23:30", 47)];
    for (heading, number) in good {
        assert_eq!(half(heading), Some(number), "{heading}");
    }
    for heading in ["24:00", "06:15", "note", "", "6.25", "123", "-", "a630"] {
        assert_eq!(half(heading), None, "{heading}");
    }
    assert!(begins(&["person", "date", "00:00", "00:30"]));
    assert!(!begins(&["person", "from", "to", "kind", "note"]));
}

/// If this fails, half-hours in a row are not one stretch, or two kinds of work are taken for one.
#[test]
fn equal_marks_in_a_row_are_one_stretch() {
    let mut marks = vec![None; 48];
    marks[0] = Some(RecordKind::Watch);
    marks[1] = Some(RecordKind::Watch);
    marks[2] = Some(RecordKind::Duty);
    marks[47] = Some(RecordKind::Duty);
    // 00:00-01:00, 01:00-01:30, 23:30-24:00, in minutes.
    assert_eq!(runs(&marks), [(0, 60, RecordKind::Watch), (60, 90, RecordKind::Duty), (1410, 1440, RecordKind::Duty)]);
}
