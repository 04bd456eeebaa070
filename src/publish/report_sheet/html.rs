//! The sheet as one HTML file: no script, nothing from elsewhere, readable on a telephone and on
//! paper.

use std::fmt::Write as _;

use super::content::{
    AS_ANSWERED, AS_FOUND, Card, Cell, DECIDED, Grid, HEADS, Picture, ReportSheet, Strip,
};
use super::strip::strips;
use super::style;
use crate::inspect::{Severity, Verdict};
use crate::publish::drawing::{Drawing, escaped, severity_mark, small, svg, verdict_mark, within};
use crate::publish::grid::bound;
use crate::publish::pdf::Push;
use crate::publish::words::severity_means;
use crate::publish::{severity_word, verdict_words};

/// Text as it stands on the page.
fn text(text: &str) -> String {
    escaped(&bound(text))
}

/// Writes the page.
pub(super) fn html(sheet: &ReportSheet) -> String {
    let title = text(&sheet.about().title);
    let mut out = String::new();
    let _ = write!(
        out,
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"generator\" content=\"{}\">\n<title>{title}</title>\n\
         <style>\n{}</style>\n</head>\n<body>\n<main>\n",
        text(&sheet.title.program),
        style::css()
    );
    head(&mut out, sheet);
    pictures(&mut out, sheet);
    troubles(&mut out, HEADS[0], &sheet.troubles);
    troubles(&mut out, HEADS[1], &sheet.let_stand);
    if let Some(openings) = &sheet.openings {
        section(&mut out, &openings.called, &openings.aside);
        grid(&mut out, openings, "wide");
        out += "</section>\n";
    }
    for strip in &sheet.reveals {
        reveals(&mut out, strip);
    }
    section(&mut out, &sheet.rules.called, &sheet.rules.aside);
    grid(&mut out, &sheet.rules, "wide rules");
    out += "</section>\n";
    let asked = "The job does not answer these. Whether the stair has the part at all, and what it \
                 measures, is for whoever stands before it.";
    list(&mut out, "Not shown", asked, &sheet.not_shown);
    list(&mut out, "Not read", "", &sheet.not_read);
    list(&mut out, "Not asked of this stair", "", &sheet.not_asked);
    list(&mut out, "Read with", "", &sheet.read_with);
    list(&mut out, "Measured", AS_FOUND, &sheet.measured);
    list(&mut out, DECIDED, AS_ANSWERED, &sheet.decided);
    list(&mut out, "Mind", "", &sheet.cautions);
    sign_off(&mut out, sheet);
    out += "</main>\n</body>\n</html>\n";
    out
}

fn head(out: &mut String, sheet: &ReportSheet) {
    let title = &sheet.title;
    let date = match &title.date {
        Some(date) => text(date),
        None => "<span class=\"blank\">to be written in</span>".to_owned(),
    };
    let _ = write!(
        out,
        "<header>\n<p class=\"kind\">Inspection</p>\n<h1>{}</h1>\n<dl class=\"about\">\
         <div><dt>Held against</dt><dd>{} ({})</dd></div>\
         <div><dt>Date</dt><dd>{date}</dd></div>\
         <div><dt>Made by</dt><dd>{}</dd></div></dl>\n\
         <p class=\"verdict\">{}</p>\n",
        text(&title.job),
        text(&title.pack),
        text(&title.edition),
        text(&title.program),
        text(&sheet.verdict)
    );
    out.push_str("<ul class=\"legend\">");
    for severity in [Severity::Stop, Severity::Fix, Severity::Remark] {
        let _ = write!(
            out,
            "<li>{}<b>{}</b>: {}</li>",
            flag(severity),
            severity_word(severity),
            severity_means(severity)
        );
    }
    for (verdict, means) in [
        (Verdict::Met, "the limit is kept"),
        (Verdict::Broken, "it is not"),
        (Verdict::TooClose, "the limit lies within the doubt"),
        (Verdict::NotShown, "nothing in the job answers it"),
    ] {
        let _ = write!(
            out,
            "<li>{}<b>{}</b>: {means}</li>",
            tick(verdict),
            verdict_words(verdict)
        );
    }
    out.push_str("</ul>\n</header>\n");
}

fn flag(severity: Severity) -> String {
    small(&severity_mark(severity, 4.0), (6.2, 4.0))
}

fn tick(verdict: Verdict) -> String {
    small(&verdict_mark(verdict, 4.0), (4.0, 4.0))
}

fn pictures(out: &mut String, sheet: &ReportSheet) {
    section(out, "The stair", "");
    for Picture { caption, png } in &sheet.pictures {
        let caption = text(caption);
        let _ = writeln!(
            out,
            "<figure><img alt=\"{caption}\" src=\"{}\">\
             <figcaption>{caption}</figcaption></figure>",
            within(png)
        );
    }
    for drawing in &sheet.drawings {
        figure(out, drawing, "large");
    }
    out.push_str("</section>\n");
}

/// A drawing with its caption. A large one may be shifted to and fro where it has no room.
fn figure(out: &mut String, drawing: &Drawing, class: &str) {
    let _ = writeln!(
        out,
        "<figure class=\"{class}\"><div class=\"shift\" style=\"--wide:{:.0}mm\">{}</div>\
         <figcaption>{}</figcaption></figure>",
        drawing.width.ceil(),
        svg(drawing),
        text(&drawing.says)
    );
}

fn section(out: &mut String, called: &str, aside: &str) {
    let _ = writeln!(out, "<section>\n<h2>{}</h2>", text(called));
    if !aside.is_empty() {
        let _ = writeln!(out, "<p class=\"aside\">{}</p>", text(aside));
    }
}

fn troubles(out: &mut String, (called, aside): (&str, &str), cards: &[Card]) {
    if cards.is_empty() {
        return;
    }
    section(out, called, aside);
    for told in cards {
        card(out, told);
    }
    out.push_str("</section>\n");
}

fn card(out: &mut String, told: &Card) {
    let severity = severity_word(told.severity);
    let _ = write!(
        out,
        "<article class=\"trouble {severity}\" id=\"trouble-{number}\">\n\
         <h3><span class=\"number\">{number}</span> {}<span class=\"severity\">{severity}</span> \
         {}</h3>\n",
        flag(told.severity),
        text(&told.says),
        number = told.number
    );
    if let Some(drawing) = &told.closeup {
        figure(out, drawing, "close");
    }
    out.push_str("<dl class=\"facts\">");
    for (name, value) in [
        ("found", text(&told.found)),
        ("asked", text(&told.asked)),
        ("answer", cell(&told.verdict)),
        ("whose limit", text(&told.source)),
    ] {
        if !value.is_empty() {
            let _ = write!(out, "<div><dt>{name}</dt><dd>{value}</dd></div>");
        }
    }
    out.push_str("</dl>\n");
    for says in &told.stands {
        let _ = writeln!(out, "<p class=\"stands\">{}</p>", text(says));
    }
    if let Some(because) = &told.because {
        grid(out, because, "because");
    }
    if !told.rest.is_empty() {
        let _ = writeln!(out, "<p class=\"aside\">{}</p>", text(&told.rest));
    }
    if !told.cures.is_empty() {
        out.push_str("<h4>Cures, the least disturbance first</h4>\n<ol>\n");
        for cure in &told.cures {
            let _ = write!(out, "<li>{}", text(&cure.says));
            if !cure.breaks.is_empty() {
                let _ = write!(out, " <b>But then:</b> {}.", text(&cure.breaks.join("; ")));
            }
            out.push_str("</li>\n");
        }
        out.push_str("</ol>\n");
    }
    out.push_str("</article>\n");
}

fn cell(cell: &Cell) -> String {
    match cell.mark {
        Some(verdict) => format!(
            "<span class=\"answer\">{}{}</span>",
            tick(verdict),
            text(&cell.text)
        ),
        None => text(&cell.text),
    }
}

/// A table; its first column names the row where it has no verdict in it.
fn grid(out: &mut String, grid: &Grid, class: &str) {
    let _ = write!(out, "<div class=\"shift\"><table class=\"{class}\">");
    if !grid.called.is_empty() {
        let caption = text(&grid.called);
        let _ = write!(out, "<caption class=\"aloud\">{caption}</caption>");
    }
    out.push_str("<thead><tr>");
    for head in &grid.heads {
        let _ = write!(
            out,
            "<th scope=\"col\"{}>{}</th>",
            side(head.push),
            head.name
        );
    }
    out.push_str("</tr></thead>\n<tbody>\n");
    for row in &grid.rows {
        // The rule or the gap, not its verdict, is what the row is about.
        let names = usize::from(row.first().is_some_and(|cell| cell.mark.is_some()));
        out.push_str("<tr>");
        for (place, (one, head)) in row.iter().zip(&grid.heads).enumerate() {
            let (tag, scope) = if place == names {
                ("th", " scope=\"row\"")
            } else {
                ("td", "")
            };
            let _ = write!(
                out,
                "<{tag}{scope}{} data-head=\"{}\">{}</{tag}>",
                side(head.push),
                head.name,
                cell(one)
            );
        }
        out.push_str("</tr>\n");
    }
    out.push_str("</tbody></table></div>\n");
}

fn side(push: Push) -> &'static str {
    match push {
        Push::Left => "",
        Push::Centre => " class=\"centre\"",
        Push::Right => " class=\"right\"",
    }
}

/// The width that strips are drawn for, mm.
const STRIP: f64 = 186.0;

fn reveals(out: &mut String, strip: &Strip) {
    section(out, &strip.called, "");
    let _ = writeln!(out, "<p>{}</p>", text(&strip.says));
    for drawing in strips(strip, STRIP) {
        let _ = writeln!(
            out,
            "<figure class=\"large\"><div class=\"shift\" style=\"--wide:{:.0}mm\">{}</div></figure>",
            drawing.width.ceil(),
            svg(&drawing)
        );
    }
    out.push_str("</section>\n");
}

fn list(out: &mut String, called: &str, lead: &str, said: &[String]) {
    if said.is_empty() {
        return;
    }
    section(out, called, lead);
    out.push_str("<ul class=\"said\">\n");
    for one in said {
        let _ = writeln!(out, "<li>{}</li>", text(one));
    }
    out.push_str("</ul>\n</section>\n");
}

fn sign_off(out: &mut String, sheet: &ReportSheet) {
    out.push_str("<section class=\"sign\">\n<h2>Read by</h2>\n");
    for one in &sheet.worth {
        let _ = writeln!(out, "<p>{}</p>", text(one));
    }
    out.push_str(
        "<table class=\"signers\"><caption class=\"aloud\">Who has read the sheet</caption>\
         <thead><tr><th scope=\"col\">Read by</th><th scope=\"col\">Name</th>\
         <th scope=\"col\">Signature</th><th scope=\"col\">Date</th></tr></thead>\n<tbody>\n",
    );
    for signer in &sheet.signers {
        let _ = writeln!(
            out,
            "<tr><th scope=\"row\">{signer}</th><td></td><td></td><td></td></tr>"
        );
    }
    out.push_str("</tbody></table>\n</section>\n");
}
