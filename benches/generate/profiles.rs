//! The words and the kinds of work generated jobs are made of.

/// Competence codes.
pub(super) const COMPETENCES: [&str; 17] =
    ["AUTH", "LEAD", "OOW", "MEAS", "HYD", "TUR", "INJ", "PMP", "VAL", "ELE", "LIFT", "TST", "ISO", "GAS", "GEN", "WR", "WEL"];

/// Phases in the order of the work.
pub(super) const PHASES: [&str; 7] = ["prepare", "isolate", "dismantle", "clean", "recondition", "reassemble", "test"];

/// Tags; the first three keep a spell from being paused.
pub(super) const TAGS: [&str; 8] = ["running", "pressure", "tension", "lift", "hot_work", "chemicals", "enclosed", "isolation"];

/// Tools, one of each.
pub(super) const TOOLS: [&str; 12] =
    ["CRANE", "HYDT", "CHAIN", "LPULL", "SOAK", "SEATG", "TBENCH", "PTEST", "PRESS", "MICS", "TORQ", "LATHE"];

/// A kind of work.
pub(super) struct Profile {
    /// One competence a person, joined by `+`.
    pub(super) needs: &'static str,
    /// Tools held, by code.
    pub(super) tools: &'static [&'static str],
    pub(super) tags: &'static [&'static str],
    pub(super) stop: Kind,
    /// Shortest and longest, in half hours.
    pub(super) slots: (usize, usize),
}

/// Stop codes before a length is known.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
pub(super) enum Kind {
    Any,
    Never,
    Parts(u32),
}

const fn profile(
    needs: &'static str,
    tools: &'static [&'static str],
    tags: &'static [&'static str],
    stop: Kind,
    slots: (usize, usize),
) -> Profile {
    Profile { needs, tools, tags, stop, slots }
}

use Kind::{Any, Never, Parts};

pub(super) const PREPARE: [Profile; 4] = [
    profile("MEAS+GEN", &[], &["running"], Any, (2, 4)),
    profile("LEAD+GEN", &[], &[], Any, (3, 6)),
    profile("AUTH+LEAD+ISO", &[], &[], Never, (1, 2)),
    profile("ELE+OOW", &[], &["running"], Never, (1, 3)),
];

pub(super) const ISOLATE: [Profile; 3] = [
    profile("ELE+GEN", &[], &["isolation"], Never, (1, 2)),
    profile("OOW+GEN+GEN", &[], &["isolation"], Parts(2), (4, 6)),
    profile("GAS+GEN", &[], &["enclosed"], Never, (1, 3)),
];

pub(super) const DISMANTLE: [Profile; 6] = [
    profile("HYD+LIFT+GEN", &["HYDT", "CRANE"], &["lift"], Parts(3), (3, 6)),
    profile("LEAD+HYD+LIFT", &["HYDT", "CRANE"], &["lift"], Parts(3), (4, 8)),
    profile("HYD+LIFT+GEN", &["LPULL", "CRANE"], &["lift"], Parts(3), (3, 6)),
    profile("INJ+GEN", &[], &[], Any, (3, 6)),
    profile("GEN+GEN+GEN", &[], &[], Any, (4, 7)),
    profile("TUR+GEN", &["CHAIN"], &["lift"], Parts(2), (5, 9)),
];

pub(super) const CLEAN: [Profile; 5] = [
    profile("GEN+GEN", &[], &["chemicals"], Any, (4, 12)),
    profile("MEAS+GEN", &["MICS"], &[], Any, (4, 8)),
    profile("LEAD+GEN+GEN", &["HYDT"], &["enclosed"], Parts(2), (4, 6)),
    profile("GEN+GEN", &[], &[], Any, (3, 8)),
    profile("MEAS+GEN", &[], &[], Never, (2, 5)),
];

pub(super) const RECONDITION: [Profile; 8] = [
    profile("VAL", &["SEATG"], &[], Any, (6, 14)),
    profile("INJ", &["TBENCH"], &["pressure"], Any, (6, 12)),
    profile("PMP", &["PRESS"], &[], Any, (6, 12)),
    profile("ELE", &[], &[], Any, (4, 8)),
    profile("TUR+GEN", &[], &[], Any, (8, 16)),
    profile("VAL+GEN", &["PTEST"], &["pressure"], Any, (4, 8)),
    profile("WEL", &["LATHE"], &["hot_work"], Any, (4, 8)),
    profile("MEAS+GEN", &[], &[], Never, (3, 5)),
];

pub(super) const REASSEMBLE: [Profile; 7] = [
    profile("HYD+LIFT+GEN", &["HYDT", "CRANE"], &["lift", "tension"], Parts(3), (4, 7)),
    profile("LEAD+HYD+LIFT", &["HYDT", "CRANE"], &["lift", "tension"], Parts(3), (5, 8)),
    profile("LEAD+LIFT+GEN", &["LPULL", "CRANE"], &["lift"], Parts(4), (6, 8)),
    profile("INJ+GEN", &["TORQ"], &[], Any, (4, 8)),
    profile("PMP+GEN", &[], &[], Any, (4, 6)),
    profile("MEAS+GEN", &[], &[], Any, (4, 6)),
    profile("TUR+GEN+GEN", &["CHAIN"], &["lift"], Parts(2), (5, 8)),
];

pub(super) const TEST: [Profile; 3] = [
    profile("OOW+GEN", &[], &["pressure"], Never, (2, 4)),
    profile("LEAD+GEN", &[], &[], Never, (3, 5)),
    profile("TST+ELE", &[], &["running"], Never, (4, 6)),
];

/// Filling the soaking tank, and emptying it after the soak.
pub(super) const FILL: Profile = profile("VAL+GEN", &[], &["chemicals"], Any, (3, 5));
/// Emptying it.
pub(super) const EMPTY: Profile = profile("GEN+GEN", &[], &["chemicals"], Any, (2, 4));
/// The independent check of what was tensioned.
pub(super) const CHECK: Profile = profile("AUTH+MEAS", &[], &[], Never, (3, 5));
/// Running-in, attended by the watch.
pub(super) const RUN_IN: Profile = profile("", &[], &["running"], Never, (10, 18));
/// The last look, and back to stand-by.
pub(super) const HAND_BACK: Profile = profile("LEAD+HYD+GEN", &["HYDT", "TORQ"], &["tension"], Never, (3, 5));
