//! What may be typed.

use clap::CommandFactory;

use super::*;

/// If this fails, two options share a name, or a default cannot be read.
#[test]
fn the_command_line_is_sound() {
    Args::command().debug_assert();
}

/// If this fails, a time limit is misread.
#[test]
fn lengths_of_time_are_read() {
    let seconds = |text| duration(text).map(|d| d.as_secs());
    assert_eq!(seconds("30"), Ok(30));
    assert_eq!(seconds("30s"), Ok(30));
    assert_eq!(seconds("5m"), Ok(300));
    assert_eq!(seconds("2h"), Ok(7200));
    for wrong in ["", "s", "0", "-1", "1.5h", "5 m", "5d", "99999999999999999999", "9999999999999999999h"] {
        assert!(seconds(wrong).is_err(), "{wrong}");
    }
}
