//! Rows of a stream: what is read, what is refused, and why.

use super::StreamRows;
use crate::model::RecordKind;

fn rows() -> StreamRows {
    StreamRows::begin(b"\xef\xbb\xbfship;person;from;to;kind;note\r\n").unwrap()
}

/// If this fails, a sound row is lost or read as something else.
#[test]
fn sound_rows_are_read() {
    let read = rows();
    let row = read.row(b"Alder;2E;2027-03-04T08:00+03:00;2027-03-04T12:00+03:00;Call;alarm; pump 2\n").unwrap().unwrap();
    assert_eq!((row.ship.as_ref(), row.person.as_ref(), row.kind, row.noted), ("Alder", "2E", RecordKind::Call, true));
    assert_eq!(row.span.length().get(), 240);
    let row = read.row("\"Alder; II\";\"2E\";2027-03-04 22:00;2027-03-04 24:00;watch;\"a \"\"b\"\"\"".as_bytes()).unwrap().unwrap();
    assert_eq!(row.ship, "Alder; II");
    assert_eq!(row.span.length().get(), 120);
    assert_eq!(read.row(b"\r\n").unwrap(), None);
    assert_eq!(read.row(b";;;;;\n").unwrap(), None);
    let other = StreamRows::begin(b"kind,to,from,person,ship\n").unwrap();
    assert!(other.row(b"duty,2027-03-04T12:00,2027-03-04T08:00,2E,Alder").unwrap().is_some());
}

/// If this fails, a broken row passes, or nobody is told what is wrong with it.
#[test]
fn broken_rows_are_refused_with_a_reason() {
    let read = rows();
    for (line, why) in [
        (&b"Alder;2E;2027-03-04T08:00;2027-03-04T12:00"[..], "it has no kind; the row has 4 fields of 6"),
        (b"Alder;;2027-03-04T08:00;2027-03-04T12:00;watch;", "it has no person"),
        (b"Alder;2E;2027-03-04T12:00;2027-03-04T08:00;watch;", "it ends before it begins"),
        (b"Alder;2E;4.3.2027 8:00;2027-03-04T08:00;watch;", "`4.3.2027 8:00` is not a time"),
        (b"Alder;2E;2027-03-04T08:00;2027-03-04T12:00;sleep;", "`sleep` is not a kind of work"),
        ("Al\u{202e}der;2E;2027-03-04T08:00;2027-03-04T12:00;task;".as_bytes(), "in ship or person there is U+202E"),
        (b"Alder;2E;2027-03-04T08:00;2027-04-04T12:00;watch;", "longer than seven days"),
        (b"Alder;2E;2027-03-04T08:00Z;2027-03-04T12:00;watch;", "one of its times has an offset"),
        (b"Alder;2E;2027-03-04T08:00;2027-03-04T12:00;watch;\"open", "not closed"),
        (b"Alder;\"2E\";2027-03-04T08:00;2027-03-04T12:00;watch;a;b", "more fields"),
        (b"Al\xffder;2E;2027-03-04T08:00;2027-03-04T12:00;watch;", "not UTF-8"),
    ] {
        let said = read.row(line).unwrap_err();
        assert!(said.contains(why), "{said}");
    }
}

/// If this fails, a stream with other columns is read as if it had ours.
#[test]
fn a_first_line_must_name_the_columns() {
    for (line, why) in [
        (&b"ship,person,from,to"[..], "does not name the column kind"),
        (b"ship,person,form,to,kind", "write `from`"),
        (b"ship,person,from,to,kind,ship", "stands twice"),
        (b"Alder,2E,2027-03-04T08:00,2027-03-04T12:00,watch", "`Alder` is not a column"),
    ] {
        let said = StreamRows::begin(line).unwrap_err();
        assert!(said.contains(why), "{said}");
    }
}
