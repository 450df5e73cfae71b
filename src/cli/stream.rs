//! `turnto rest --stdin`: records of many ships from standard input, in bounded memory.

use std::io::{self, BufRead, Read};
use std::path::Path;

use crate::cli::args::Rest;
use crate::cli::console::{self, Console};
use crate::cli::exit::Exit;
use crate::cli::fault::Fault;
use crate::hours::{CameBack, Fleet, FleetView, Refused};
use crate::input::StreamRows;
use crate::out;
use crate::rest::RuleSet;

/// Longest line that is kept; a longer one is no row.
const LONGEST_LINE: u64 = 64 * 1024;

/// Checks what comes on standard input by `set`.
///
/// # Errors
/// A stream cannot be read or written.
pub(super) fn run(asked: &Rest, set: &RuleSet, console: &Console) -> Result<Exit, Vec<Fault>> {
    let stdin = io::stdin();
    let mut input = io::BufReader::with_capacity(1 << 18, stdin.lock());
    let refused = |error| vec![Fault::system("read", Path::new("standard input"), error)];
    let mut line = Vec::new();
    if next(&mut input, &mut line).map_err(refused)? == Line::End {
        console::complain("standard input is empty; begin it with the line ship,person,from,to,kind,note");
        return Ok(Exit::Wrong);
    }
    let rows = match StreamRows::begin(&line) {
        Ok(rows) => rows,
        Err(why) => {
            console::complain(&format!("standard input, line 1: {why}"));
            return Ok(Exit::Wrong);
        }
    };
    let mut fleet = Fleet::new(set);
    let (mut number, mut used, mut skipped) = (1_u64, 0_u64, 0_usize);
    loop {
        number += 1;
        let why = match next(&mut input, &mut line).map_err(refused)? {
            Line::End => break,
            Line::TooLong => "it is longer than 64 KiB".to_owned(),
            Line::Whole => match rows.row(&line) {
                Ok(None) => continue,
                Ok(Some(row)) => match fleet.push(&row) {
                    Ok(back) => {
                        used += 1;
                        if let Some(back) = back {
                            console::show(&came_back(number, &row.ship, &row.person, back));
                        }
                        continue;
                    }
                    Err(refused) => reason(refused).to_owned(),
                },
                Err(why) => why,
            },
        };
        skipped += 1;
        console::show(&format!("standard input, line {number}: row not used: {why}"));
    }
    if used == 0 && skipped == 0 {
        console::complain("standard input has no rows after its first line");
        return Ok(Exit::Wrong);
    }
    if skipped > 0 {
        console.note(&format!("{skipped} of {} rows not used", used + u64::try_from(skipped).unwrap_or(u64::MAX)));
    }
    let ships = fleet.finish();
    let view = FleetView { set, ships: &ships, skipped };
    let text = if asked.json {
        out::fleet_json(&view)
    } else if asked.csv {
        out::fleet_csv(&view)
    } else {
        out::fleet_text(&view)
    };
    console::answer(&text).map_err(|fault| vec![fault])?;
    Ok(if view.needs_attention() { Exit::Attention } else { Exit::Done })
}

fn came_back(number: u64, ship: &str, person: &str, back: CameBack) -> String {
    let who = match back {
        CameBack::Ship => format!("ship {ship} comes back after other ships"),
        CameBack::Person => format!("{person} of {ship} comes back after others"),
    };
    format!("standard input, line {number}: ATTENTION: {who}; the parts are checked apart. Sort the rows by ship, then person.")
}

const fn reason(refused: Refused) -> &'static str {
    match refused {
        Refused::Offset => "the person's other rows give an offset from UTC and this one does not, or the other way round",
        Refused::TooMany => "one person has more than 20000 rows",
    }
}

/// What was read of the next line.
#[derive(Clone, Copy, PartialEq, Eq, Debug)]
enum Line {
    /// All of it.
    Whole,
    /// Its beginning; the rest was passed over.
    TooLong,
    /// Nothing: the input is at its end.
    End,
}

/// Reads the next line into `line`, with its line end.
fn next(input: &mut impl BufRead, line: &mut Vec<u8>) -> io::Result<Line> {
    line.clear();
    if input.by_ref().take(LONGEST_LINE).read_until(b'\n', line)? == 0 {
        return Ok(Line::End);
    }
    if line.last() == Some(&b'\n') || u64::try_from(line.len()).unwrap_or(0) < LONGEST_LINE {
        return Ok(Line::Whole);
    }
    loop {
        let buffer = input.fill_buf()?;
        let (used, end) = match buffer.iter().position(|b| *b == b'\n') {
            Some(at) => (at + 1, true),
            None => (buffer.len(), buffer.is_empty()),
        };
        input.consume(used);
        if end {
            return Ok(Line::TooLong);
        }
    }
}
