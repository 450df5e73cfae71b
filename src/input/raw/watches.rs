//! `watches.toml` as written.

use crate::diag::{Code, Place};
use crate::input::near::nearest;
use crate::input::raw::phrase::{self, By};
use crate::input::raw::{hours, windows, windows_beside};
use crate::input::row::Row;
use crate::input::text::{At, Text};
use crate::input::when::{Hours, When, Written};

/// `watches.toml`.
#[derive(Default)]
pub(in crate::input) struct Watches {
    /// Posts.
    pub posts: Vec<Post>,
    /// Lines: what is stood day by day.
    pub lines: Vec<Line>,
    /// Single watches.
    pub stands: Vec<Stand>,
    /// Watches taken over for a while.
    pub covers: Vec<Stand>,
    /// Whether the file had errors of syntax.
    pub broken: bool,
}

/// A post.
pub(in crate::input) struct Post {
    /// The code.
    pub code: Text,
    /// Name in full.
    pub name: Option<Text>,
    /// Competence that lets somebody stand it; the post's own code where it is left out.
    pub needs: Option<Text>,
    /// When it is manned.
    pub manned: Manned,
    /// How many tasks without people its watch may attend.
    pub attends: Option<At<i64>>,
}

/// When a post is manned.
pub(in crate::input) enum Manned {
    /// Always.
    Always,
    /// At these times.
    At(Vec<At<When>>),
    /// While the ship is in one of these modes.
    Modes(Vec<Text>),
}

/// A daily pattern.
pub(in crate::input) struct Line {
    /// What people call it.
    pub code: Text,
    /// Its hours.
    pub hours: Vec<At<Hours>>,
    /// Whether some of them could not be read.
    pub broken: bool,
    /// First day or moment.
    pub from: Option<At<Written>>,
    /// Last moment.
    pub to: Option<At<Written>>,
    /// Post and who stands it.
    pub on: Vec<(Text, By)>,
}

/// A watch on one post at one time.
pub(in crate::input) struct Stand {
    /// Where it stands.
    pub head: Place,
    /// The post.
    pub post: Option<Text>,
    /// When.
    pub when: Vec<At<When>>,
    /// Who.
    pub by: Option<(Place, By)>,
    /// Why, in words.
    pub why: Option<Text>,
}

/// Reads `watches.toml`.
pub(in crate::input) fn read(mut row: Row<'_>) -> Watches {
    let broken = row.broken();
    let posts: Vec<Post> = row.named("post", "post").into_iter().map(post).collect();
    let lines = row.named("line", "line").into_iter().map(|named| line(named, &posts)).collect();
    let stands = row.tables("stand").into_iter().map(stand).collect();
    let covers = row.tables("cover").into_iter().map(stand).collect();
    row.finish();
    Watches { posts, lines, stands, covers, broken }
}

fn post(named: crate::input::row::Named<'_>) -> Post {
    let mut row = named.row;
    let sink = row.sink();
    let name = row.text("name");
    let needs = row.text("needs");
    let texts = row.phrases("manned");
    let modes: Vec<Text> = texts.iter().filter_map(|t| t.after_word("mode")).flat_map(|t| t.split(&[','])).collect();
    let manned = if texts.is_empty() || texts.iter().any(|t| t.is("always")) {
        Manned::Always
    } else if !modes.is_empty() {
        Manned::Modes(modes)
    } else {
        Manned::At(windows_beside(&["always", "mode"], &texts.iter().flat_map(|t| t.split(&[','])).collect::<Vec<_>>(), sink))
    };
    let attends = row.whole("attends", 0, 99);
    row.finish();
    Post { code: named.code, name, needs, manned, attends }
}

/// A key that is a post's code is that post, however near it comes to the name of another key: `EO` is no slip of `to`.
fn line(named: crate::input::row::Named<'_>, posts: &[Post]) -> Line {
    let mut row = named.row;
    let sink = row.sink();
    let texts = row.words("hours");
    let read = hours(&texts, sink);
    let broken = read.len() < texts.len();
    if row.has("hours").is_none() {
        row.missing("hours", "hours = \"00:00-04:00, 12:00-16:00\"");
    }
    let from = row.moment("from");
    let to = row.moment("to");
    let mut on = Vec::new();
    for (post, text) in row.others() {
        let known = posts.iter().any(|p| p.code.as_str() == post.as_str());
        if let Some(near) = nearest(post.as_str(), ["hours", "from", "to"]).filter(|_| !known) {
            row.is_misspelt(near);
            let message = format!("line {} has no key `{}`", named.code.as_str(), post.as_str());
            sink.say(Code::UnknownKey, message, post.place(), "not known here", format!("write `{near}` if that is what is meant"));
        } else if let Some(by) = phrase::by(&text, sink) {
            on.push((post, by));
        }
    }
    Line { code: named.code, hours: read, broken, from, to, on }
}

fn stand(mut row: Row<'_>) -> Stand {
    let sink = row.sink();
    let head = row.head();
    let post = row.need_text("post", "post = \"OOW\"");
    let when = windows(&row.words("when"), sink);
    row.must_say("when", "when = \"day 3 09:30-12:00\"");
    let by = row.need_text("by", "by = \"3E or AE\"").and_then(|text| phrase::by(&text, sink).map(|by| (text.place(), by)));
    let why = row.text("why");
    row.finish();
    Stand { head, post, when, by, why }
}
