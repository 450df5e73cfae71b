//! Windows, repeats, hours of the day and offsets, as written.

use chrono::Weekday;

use crate::input::when::{Days, End, Hours, When, Written, offset, weekday};

fn day(day: i32, minute: i32) -> End {
    End::At(Written::Day { day, minute: Some(minute), offset: None })
}

/// If this fails, a window is read as another one.
#[test]
fn windows() {
    let cases = [
        ("day 3 09:30-16:00", When::Once(day(3, 570), day(3, 960))),
        ("day 3 09:30 \u{2013} 16:00", When::Once(day(3, 570), day(3, 960))),
        ("day 3 09:30 to 16:00", When::Once(day(3, 570), day(3, 960))),
        // Past midnight: 02:00 on the next day is 26 hours after 00:00.
        ("day 3 22:00-02:00", When::Once(day(3, 1320), day(3, 1560))),
        ("day 3 22:00 - day 4 02:00", When::Once(day(3, 1320), day(4, 120))),
        ("day -1 20:00-24:00", When::Once(day(-1, 1200), day(-1, 1440))),
        ("start - day 4 12:00", When::Once(End::Start, day(4, 720))),
        ("day 9 18:00 - end", When::Once(day(9, 1080), End::Layout)),
    ];
    for (text, when) in cases {
        assert_eq!(When::parse(text), Some(when), "{text}");
    }
    // Days alone: from the beginning of the first to the end of the last.
    let whole = |from, to| When::Once(End::At(Written::Day { day: from, minute: None, offset: None }), day(to, 1440));
    assert_eq!(When::parse("day 3"), Some(whole(3, 3)));
    assert_eq!(When::parse("day 3 - day 5"), Some(whole(3, 5)));
}

/// If this fails, a repeat is read as another one.
#[test]
fn repeats() {
    let repeated = |on| Some(When::Repeated { on, hours: Hours { from: 480, to: 510 }, from: None, to: None });
    assert_eq!(When::parse("daily 08:00-08:30"), repeated(Days::Daily));
    assert_eq!(When::parse("every day 08:00-08:30"), repeated(Days::Daily));
    assert_eq!(When::parse("every Sat 08:00-08:30"), repeated(Days::Every(Weekday::Sat)));
    let bounded = When::parse("every sunday 08:00-08:30 from day 2 to day 9");
    let edge = |day| Some(Written::Day { day, minute: None, offset: None });
    let hours = Hours { from: 480, to: 510 };
    assert_eq!(bounded, Some(When::Repeated { on: Days::Every(Weekday::Sun), hours, from: edge(2), to: edge(9) }));
}

/// If this fails, something that is no window is taken for one.
#[test]
fn no_windows() {
    for text in [
        "",
        "day",
        "day 3 09:30",
        "day 3 09:30-",
        "day 3 09:30-09:30",
        "09:30-10:00",
        "daily",
        "every Foo 08:00-09:00",
        "start",
        "end - start",
        "day 3 9.30-10.00",
        "day 3 09:30-16:00 or so",
        "dayly 08:00-09:00",
    ] {
        assert_eq!(When::parse(text), None, "{text}");
    }
}

/// If this fails, hours of the day are read wrongly, those over midnight included.
#[test]
fn hours_of_the_day() {
    for (text, from, to) in
        [("08:00-12:00", 480, 720), ("8-12", 480, 720), ("20:00-24:00", 1200, 1440), ("22:00-06:00", 1320, 1800), ("00:00-24:00", 0, 1440)]
    {
        assert_eq!(Hours::parse(text), Some(Hours { from, to }), "{text}");
    }
    for text in ["", "08:00", "08:00-08:00", "24:00-02:00", "25:00-26:00", "8.30-9.30", "08:60-09:00", "08:0-09:00"] {
        assert_eq!(Hours::parse(text), None, "{text}");
    }
}

/// If this fails, an offset from UTC is read wrongly.
#[test]
fn offsets() {
    for (text, minutes) in
        [("UTC", 0), ("UTC+3", 180), ("utc +3", 180), ("UTC-3:30", -210), ("UTC\u{2212}3", -180), ("+03:00", 180), ("UTC+12:45", 765)]
    {
        assert_eq!(offset(text), Some(minutes), "{text}");
    }
    for text in ["", "3", "UTC3", "UTC+24", "UTC+3:60", "UTC+3:5", "GMT+3"] {
        assert_eq!(offset(text), None, "{text}");
    }
}

/// If this fails, days of the week are not known by name.
#[test]
fn days_of_the_week() {
    assert_eq!((weekday("Monday"), weekday("sun"), weekday("SAT")), (Some(Weekday::Mon), Some(Weekday::Sun), Some(Weekday::Sat)));
    assert_eq!((weekday(""), weekday("S"), weekday("Sunda")), (None, None, None));
}
