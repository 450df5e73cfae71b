//! The record of a month as one page to print: no scripts, nothing fetched, readable in grey.

use std::fmt::Write as _;

use crate::hours::{DayRow, Month};
use crate::model::Problem;
use crate::out::hours::month::{CELLS, Cell, cells, closing, comments, hours};
use crate::out::hours::words;
use crate::out::page::printable;

/// One sheet of A4 across. Work is marked by a letter as well as by its shade.
const STYLE: &str = "@page{size:A4 landscape;margin:7mm 8mm}\
*{box-sizing:border-box}\
body{font:7.5pt/1.2 sans-serif;margin:0 auto;max-width:281mm;color:#000;background:#fff}\
h1{font-size:12pt;margin:0 0 .5mm}\
dl{display:flex;flex-wrap:wrap;gap:0 6mm;margin:0 0 1mm}\
dl div{display:flex;gap:1mm}dt{font-weight:bold}dd{margin:0}\
.blank{display:inline-block;min-width:25mm;border-bottom:.3mm solid #000}\
table{border-collapse:collapse;width:100%;table-layout:fixed;font-size:7pt}\
th,td{border:.2mm solid #666;padding:0;text-align:center;height:3.6mm;overflow:hidden}\
th{font-weight:normal}\
col.d{width:6mm}col.h{width:3.55mm}col.n{width:11mm}\
td.h0{border-left:.4mm solid #000}\
td.w{background:#bbb;font-weight:bold}td.p{background:#ddd}\
td.c{text-align:left;padding:0 1mm;white-space:normal;line-height:1.05;font-size:6pt}\
td.f{font-weight:bold;text-decoration:underline}\
p{margin:.7mm 0}\
.sign{display:flex;gap:10mm;margin-top:4mm}.sign span{flex:1;border-top:.3mm solid #000}\
@media screen{body{padding:6mm}}\
tr{break-inside:avoid}";

/// The record as a self-contained page.
///
/// The layout follows the model record of the IMO/ILO guidelines of 1999: days down, hours across, the sum of the
/// day, comments, then the columns that are not for the seafarer, and the signatures below.
#[must_use]
pub fn month_html(problem: &Problem, month: &Month) -> String {
    let who = &problem.people[month.person];
    let set = words::set(problem, month.person);
    let title = format!("Record of hours of rest, {}, {}", who.code, month.first.format("%Y-%m"));
    let rules: Vec<String> = set.rules.iter().map(|rule| rule.kind.text()).collect();
    let role = if who.role.is_empty() { &who.code } else { &who.role };
    let mut page = String::new();
    let _ = write!(
        page,
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>{}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n\
         <h1>Record of hours of rest</h1>\n<dl>\n",
        escaped(&title)
    );
    let blank = "<span class=\"blank\">&nbsp;</span>".to_owned();
    let facts = [
        ("Ship", escaped(&problem.ship)),
        ("IMO number", blank.clone()),
        ("Flag", blank),
        ("Seafarer", escaped(&who.name)),
        ("Position", escaped(role)),
        ("Month", escaped(&month.first.format("%B %Y").to_string())),
        ("Watchkeeper", if month.watchkeeper { "yes" } else { "no" }.to_owned()),
        ("Limits", escaped(&format!("{} ({}): {}", set.name, set.code, rules.join("; ")))),
    ];
    for (name, value) in facts {
        let _ = writeln!(page, "<div><dt>{name}:</dt><dd>{value}</dd></div>");
    }
    page.push_str("</dl>\n<table>\n<colgroup><col class=\"d\">");
    page.push_str(&"<col class=\"h\">".repeat(usize::try_from(CELLS).unwrap_or(0)));
    page.push_str(
        "<col class=\"n\"><col><col class=\"n\"><col class=\"n\"></colgroup>\n<thead>\n<tr><th rowspan=\"2\" scope=\"col\">Day</th>",
    );
    let _ = write!(
        page,
        "<th colspan=\"{CELLS}\" scope=\"colgroup\">Hours by ship's clock: X work, / work in part, - break too short to be rest, ? not known</th>"
    );
    page.push_str(
        "<th rowspan=\"2\" scope=\"col\">Rest in the day</th><th rowspan=\"2\" scope=\"col\">Comments</th>\
         <th colspan=\"2\" scope=\"colgroup\">Not for the seafarer: least rest</th></tr>\n<tr>",
    );
    for hour in 0..CELLS / 2 {
        let _ = write!(page, "<th colspan=\"2\" scope=\"col\">{hour:02}</th>");
    }
    page.push_str("<th scope=\"col\">any 24&nbsp;h</th><th scope=\"col\">any 7&nbsp;d</th></tr>\n</thead>\n<tbody>\n");
    for row in &month.days {
        day(&mut page, problem, month, row);
    }
    page.push_str("</tbody>\n</table>\n");
    page.push_str(
        "<p>Hours and hundredths. Any 24&nbsp;h and any 7&nbsp;d: least of all such periods that end on the day, where all of it is known.</p>\n",
    );
    let _ = writeln!(page, "<p>{}</p>", escaped(&words::read_as(set)));
    for line in closing() {
        let _ = writeln!(page, "<p>{}</p>", escaped(line));
    }
    page.push_str(
        "<div class=\"sign\"><span>Master or person authorised, date</span><span>Seafarer, date</span></div>\n</body>\n</html>\n",
    );
    page
}

fn day(page: &mut String, problem: &Problem, month: &Month, row: &DayRow) {
    let _ = write!(page, "<tr><th scope=\"row\">{}</th>", row.date.format("%d"));
    for (half, cell) in cells(problem, row).into_iter().enumerate() {
        let shade = match cell {
            Cell::Work => "w",
            Cell::Part => "p",
            Cell::Neither | Cell::Rest | Cell::Unknown | Cell::Blank | Cell::Skipped => "",
        };
        let hour = if half % 2 == 0 { "h0" } else { "" };
        let class = [shade, hour].iter().filter(|c| !c.is_empty()).copied().collect::<Vec<_>>().join(" ");
        let class = if class.is_empty() { String::new() } else { format!(" class=\"{class}\"") };
        let sign = match cell {
            Cell::Work | Cell::Part | Cell::Neither | Cell::Unknown => cell.sign().to_string(),
            Cell::Rest | Cell::Blank | Cell::Skipped => String::new(),
        };
        let _ = write!(page, "<td{class}>{sign}</td>");
    }
    let rest = if row.known == Some(row.span) { hours(Some(row.rest)) } else { String::new() };
    let said: Vec<String> = comments(problem, month, row).into_iter().map(|(_, said)| escaped(&said)).collect();
    let mark = if row.findings.is_empty() { "" } else { " class=\"f\"" };
    let _ = writeln!(
        page,
        "<td>{rest}</td><td class=\"c\">{}</td><td{mark}>{}</td><td{mark}>{}</td></tr>",
        said.join("; "),
        hours(row.least_24h),
        hours(row.least_7d)
    );
}

/// Text that cannot be taken for markup.
pub(super) fn escaped(text: &str) -> String {
    printable(text).replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;").replace('\u{a0}', "&nbsp;")
}
