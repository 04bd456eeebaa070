//! The page without its script, and the page on paper: headings, pictures, notes, questions.
//!
//! Everything that anybody wrote is text here, whatever is in it.

use std::fmt::Write as _;

use crate::job::Answer;

use super::answered::answer_says;
use super::asks::AskTold;
use super::{Priced, Shot, Told};

/// A text as HTML shows it, in an element and in a quoted attribute alike.
#[must_use]
pub fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            _ => safe.push(letter),
        }
    }
    safe
}

/// The plain part.
pub(super) fn plain(told: &Told) -> String {
    let mut html = String::new();
    let _infallible = write!(
        html,
        "<header><h1 dir=\"auto\">{}</h1></header>",
        escaped(&told.title)
    );
    pictures(&mut html, &told.shots);
    if !told.notes.is_empty() {
        let items = told.notes.iter().map(|note| {
            format!(
                "<li><h3 dir=\"auto\">{}</h3><p dir=\"auto\">{}</p></li>",
                escaped(&note.title),
                escaped(&note.text)
            )
        });
        section(&mut html, "notes", "What the numbers say", "ol", items);
    }
    let asks = told.asks.iter().map(|one| ask(one, &told.answers));
    if !told.asks.is_empty() {
        section(&mut html, "asks", "What we ask you", "ol", asks);
    }
    if let Some(prices) = &told.prices {
        priced(&mut html, prices);
    }
    let cautions = told
        .cautions
        .iter()
        .map(|one| format!("<li dir=\"auto\">{}</li>", escaped(one)));
    section(&mut html, "cautions", "Please mind", "ul", cautions);
    html
}

fn section(
    html: &mut String,
    class: &str,
    title: &str,
    list: &str,
    items: impl Iterator<Item = String>,
) {
    let items: String = items.collect();
    let _infallible = write!(
        html,
        "<section class=\"p-{class}\"><h2>{title}</h2><{list}>{items}</{list}></section>"
    );
}

fn pictures(html: &mut String, shots: &[Shot]) {
    if shots.is_empty() {
        return;
    }
    html.push_str("<section class=\"p-pictures\">");
    for (at, shot) in shots.iter().enumerate() {
        let says = escaped(&shot.alt);
        let _infallible = write!(
            html,
            "<figure><img id=\"{}\" alt=\"{says}\" src=\"{}\"><figcaption dir=\"auto\">{says}\
             </figcaption></figure>",
            shot_id(at),
            shot.source()
        );
    }
    html.push_str("</section>");
}

/// The id of a picture in the plain part.
pub(super) fn shot_id(at: usize) -> String {
    format!("picture-{at}")
}

fn ask(ask: &AskTold, answers: &[Answer]) -> String {
    let mut html = format!(
        "<li data-ask=\"{}\"><h3 dir=\"auto\">{}</h3>",
        escaped(&ask.id),
        escaped(&ask.question)
    );
    if !ask.says.is_empty() {
        let _infallible = write!(html, "<p dir=\"auto\">{}</p>", escaped(&ask.says));
    }
    if !ask.choices.is_empty() {
        html.push_str("<ul>");
        for (id, words) in &ask.choices {
            let _infallible = write!(
                html,
                "<li data-choice=\"{}\" dir=\"auto\">{}</li>",
                escaped(id),
                escaped(words)
            );
        }
        html.push_str("</ul>");
    }
    if let Some(answer) = answers.iter().rev().find(|one| one.to == ask.id) {
        let _infallible = write!(
            html,
            "<p class=\"answered\" dir=\"auto\">Answered: {}</p>",
            escaped(&answer_says(answer))
        );
    }
    html.push_str("</li>");
    html
}

fn priced(html: &mut String, prices: &Priced) {
    html.push_str("<section class=\"p-prices\"><h2>What it costs</h2><table>");
    for (words, amount) in &prices.lines {
        let _infallible = write!(
            html,
            "<tr><td dir=\"auto\">{}</td><td>{}</td></tr>",
            escaped(words),
            escaped(amount)
        );
    }
    let _infallible = write!(
        html,
        "<tr><th>Together</th><td>{}</td></tr></table><p dir=\"auto\">{}</p></section>",
        escaped(&prices.total),
        escaped(&prices.says)
    );
}
