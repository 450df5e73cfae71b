//! The table of shipboard working arrangements as one page to print.

use std::fmt::Write as _;

use crate::out::hours::arrange::{ArrangementTable, NOTE, Where, list, number};
use crate::out::hours::month_html::escaped;
use crate::out::hours::words::FIRST;

/// A sheet of A4 across, black on white.
const STYLE: &str = "@page{size:A4 landscape;margin:9mm 10mm}\
*{box-sizing:border-box}\
body{font:9pt/1.25 sans-serif;margin:0 auto;max-width:277mm;color:#000;background:#fff}\
h1{font-size:13pt;margin:0 0 1mm}\
dl{display:flex;flex-wrap:wrap;gap:0 8mm;margin:0 0 2mm}\
dl div{display:flex;gap:1.5mm}dt{font-weight:bold}dd{margin:0}\
.blank{display:inline-block;min-width:30mm;border-bottom:.3mm solid #000}\
table{border-collapse:collapse;width:100%;font-size:8pt}\
th,td{border:.25mm solid #444;padding:.6mm 1mm;text-align:left;vertical-align:top}\
thead th{background:#e4e4e4;font-weight:bold;text-align:center}\
td.n{text-align:right;white-space:nowrap}td.t{white-space:nowrap}td.c{font-size:7.5pt}\
th[scope=row]{font-weight:normal}\
p{margin:1mm 0}\
.sign{display:flex;gap:12mm;margin-top:9mm}.sign span{flex:1;border-top:.3mm solid #000}\
@media screen{body{padding:6mm}}\
tr{break-inside:avoid}";

/// The table as a self-contained page: no scripts, nothing fetched, readable in grey.
///
/// The columns follow the model table of the IMO/ILO guidelines of 1999.
#[must_use]
pub fn arrangements_html(table: &ArrangementTable<'_>) -> String {
    let mut page = String::new();
    let _ = write!(
        page,
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>Table of shipboard working arrangements, {}</title>\n\
         <style>{STYLE}</style>\n</head>\n<body>\n<h1>Table of shipboard working arrangements</h1>\n<dl>\n",
        escaped(&table.problem.ship)
    );
    let blank = || "<span class=\"blank\">&nbsp;</span>".to_owned();
    let mut facts = vec![
        ("Ship", escaped(&table.problem.ship)),
        ("IMO number", blank()),
        ("Flag", blank()),
        ("Last updated", blank()),
        ("From", escaped(&table.of())),
    ];
    facts.extend(table.limits().iter().map(|line| ("Limits", escaped(line))));
    for (name, value) in facts {
        let _ = writeln!(page, "<div><dt>{name}:</dt><dd>{value}</dd></div>");
    }
    page.push_str(
        "</dl>\n<table>\n<thead>\n<tr><th rowspan=\"2\" scope=\"col\">Position</th>\
         <th colspan=\"2\" scope=\"colgroup\">Scheduled daily work hours at sea</th>\
         <th colspan=\"2\" scope=\"colgroup\">Scheduled daily work hours in port</th>\
         <th rowspan=\"2\" scope=\"col\">Comments</th>\
         <th colspan=\"2\" scope=\"colgroup\">Total daily work and rest at sea</th>\
         <th colspan=\"2\" scope=\"colgroup\">Total daily work and rest in port</th></tr>\n<tr>",
    );
    for heading in
        ["Watchkeeping, from-to", "Other duties, from-to", "Watchkeeping, from-to", "Other duties, from-to", "work", "rest", "work", "rest"]
    {
        let _ = write!(page, "<th scope=\"col\">{heading}</th>");
    }
    page.push_str("</tr>\n</thead>\n<tbody>\n");
    for row in table.rows {
        let own = [list(&row.watches), list(&row.duties)].map(|hours| hours.replace(", ", "<br>"));
        let totals = [row.work, row.rest].map(|minutes| format!("{}&nbsp;h", number(minutes)));
        let [sea, port] = sides(table.place, &own);
        let [sea_totals, port_totals] = sides(table.place, &totals);
        let comments: Vec<String> = table.comments(row).iter().map(|said| escaped(said)).collect();
        let _ = write!(page, "<tr><th scope=\"row\">{}</th>", escaped(&table.position(row)));
        for cell in sea.iter().chain(&port) {
            let _ = write!(page, "<td class=\"t\">{cell}</td>");
        }
        let _ = write!(page, "<td class=\"c\">{}</td>", comments.join("; "));
        for cell in sea_totals.iter().chain(&port_totals) {
            let _ = write!(page, "<td class=\"n\">{cell}</td>");
        }
        page.push_str("</tr>\n");
    }
    page.push_str("</tbody>\n</table>\n");
    for line in [NOTE.to_owned()].into_iter().chain(table.read_as()).chain([FIRST.to_owned()]) {
        let _ = writeln!(page, "<p>{}</p>", escaped(&line));
    }
    page.push_str("<div class=\"sign\"><span>Master, date</span></div>\n</body>\n</html>\n");
    page
}

/// What goes under sea and what under port.
fn sides(place: Where, own: &[String; 2]) -> [[String; 2]; 2] {
    let none = [String::new(), String::new()];
    match place {
        Where::Sea => [own.clone(), none],
        Where::Port => [none, own.clone()],
    }
}
