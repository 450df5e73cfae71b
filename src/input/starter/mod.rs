//! The small job folder that `turnto new` writes.

/// Names and texts of the files, in the order of a job folder's listing; together they read cleanly.
pub const STARTER: &[(&str, &str)] = &[
    ("crew.toml", include_str!("crew.toml")),
    ("hours.csv", include_str!("hours.csv")),
    ("job.toml", include_str!("job.toml")),
    ("tasks.toml", include_str!("tasks.toml")),
    ("tools.toml", include_str!("tools.toml")),
    ("watches.toml", include_str!("watches.toml")),
];
