//! The list of troubles: sifted, ordered, those alike under one line, those that are let stand last.

use bevy_egui::egui::{self, RichText, Sense, Stroke, Ui, vec2};

use crate::inspect::{Finding, Key, Sense as Side, Severity, Verdict};
use crate::measure::Tape;
use crate::publish::amount;

use super::super::flags::{mark, mark_quiet};
use super::super::look::{self, ink};
use super::super::recompute::Explained;
use super::super::session::Action;
use super::super::sift::{self, Ask, Line, Order, Sift, Topic, plain};
use super::super::sure::Drawn;
use super::super::{Pick, Showing, Solved};
use super::because::{Detail, detail, detail_ui, odds};
use super::facts;
use super::let_stand::Reason;
use super::{comes_to, heading, quiet};

/// One line of the list.
struct Row {
    key: Key,
    severity: Severity,
    says: String,
    /// How far past its limit, beside the word.
    past: Option<String>,
    picked: bool,
    /// The keys are at it.
    at: bool,
    /// It is not there while something is made true for a moment.
    gone: bool,
    /// How often it comes so, where the stair was drawn.
    odds: Option<String>,
    /// It stands under a line over several alike.
    inside: bool,
    /// Over several alike: whether they are shown.
    alike: Option<bool>,
    /// Why it is let stand.
    stands: Option<String>,
}

/// Something to sift by: its word, how many there are, whether it is asked for.
struct Chip {
    ask: Ask,
    word: String,
    count: usize,
    on: bool,
}

/// What the panel shows.
pub(super) struct TroublesView {
    /// How many of each severity, and how many let stand.
    counts: String,
    chips: Vec<Vec<Chip>>,
    order: Order,
    words: String,
    finds: u32,
    /// What is left out, in words.
    left_out: Option<String>,
    rows: [Vec<Row>; 2],
    detail: Option<Detail>,
    part: Option<(String, Vec<facts::Fact>)>,
}

/// The word for a severity.
pub(super) const fn word(severity: Severity) -> &'static str {
    match severity {
        Severity::Stop => "Stop",
        Severity::Fix => "Fix",
        Severity::Remark => "Remark",
    }
}

/// A sentence with a capital, as a list of its own wants it.
pub(super) fn sentence(says: &str) -> String {
    let mut letters = says.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

pub(super) fn limit_words(finding: &Finding, tape: Tape) -> String {
    let limit = amount(finding, finding.limit, tape);
    match finding.sense {
        Side::AtMost => format!("at most {limit}"),
        Side::AtLeast => format!("at least {limit}"),
        Side::Under => format!("under {limit}"),
    }
}

/// How far past its limit something is, on the tape and as a share of the limit.
pub(super) fn past_words(finding: &Finding, tape: Tape) -> Option<String> {
    if finding.verdict != Verdict::Broken || !finding.is_length() {
        return None;
    }
    let past = finding.past();
    if past < tape.mark() / 2.0 {
        return Some("a hair".to_owned());
    }
    let share = finding.share_past().filter(|share| *share < 10.0);
    let share = share.map_or_else(String::new, |share| format!(", {:.0} %", share * 100.0));
    Some(format!("{}{share}", tape.print(past)))
}

/// Which of several alike there are, by the names that tell them apart: `T3 to T9`.
fn from_to(all: &[&Finding]) -> String {
    let common = |name: &String| all.iter().all(|one| one.key.parts.contains(name));
    let own = |one: &Finding| {
        let mut names = one.key.parts.iter();
        names.find(|name| !common(name)).cloned()
    };
    let mut names: Vec<String> = all.iter().filter_map(|one| own(one)).collect();
    // B9 before B10.
    names.sort_by(|a, b| a.len().cmp(&b.len()).then(a.cmp(b)));
    names.dedup();
    let letters = |name: &String| {
        name.trim_end_matches(|c: char| c.is_ascii_digit())
            .to_owned()
    };
    let of_one_sort = names.iter().all(|name| letters(name) == letters(&names[0]));
    match (names.first(), names.last()) {
        (Some(first), Some(last)) if of_one_sort && names.len() > 2 => {
            format!(", {first} to {last}")
        }
        (Some(_), _) if names.len() <= 4 => format!(", {}", names.join(", ")),
        _ => String::new(),
    }
}

fn row_of(line: &Line, about: &About) -> Row {
    let base = |finding: &Finding| Row {
        key: finding.key.clone(),
        severity: finding.severity,
        says: sentence(&finding.says),
        past: past_words(finding, about.tape).map(|past| format!("past by {past}")),
        picked: false,
        at: line.is_at(about.sift),
        gone: false,
        odds: None,
        inside: false,
        alike: None,
        stands: None,
    };
    match line {
        Line::Alike { all, open } => {
            let by_past = |a: &&&Finding, b: &&&Finding| a.past().total_cmp(&b.past());
            let most = all.iter().max_by(by_past).unwrap_or(&all[0]);
            let past = past_words(most, about.tape).map(|past| format!("past by up to {past}"));
            Row {
                says: format!(
                    "{}{}: {}",
                    sentence(&plain(all[0].key.kind)),
                    from_to(all),
                    all.len()
                ),
                past,
                alike: Some(*open),
                ..base(all[0])
            }
        }
        Line::One {
            finding,
            inside,
            stands,
        } => Row {
            picked: about.picked == Some(&finding.key),
            gone: about.gone(&finding.key),
            odds: odds(about.drawn, &finding.key).map(|odds| odds.says),
            inside: *inside,
            stands: stands.map(|stands| {
                let was = stands
                    .was
                    .map(|was| format!(" (was {})", about.tape.print(was)));
                format!(
                    "let stand: {}{}",
                    stands.why.because,
                    was.unwrap_or_default()
                )
            }),
            ..base(finding)
        },
    }
}

/// What the rows are made from.
struct About<'a> {
    solved: &'a Solved,
    sift: &'a Sift,
    picked: Option<&'a Key>,
    drawn: Option<&'a Drawn>,
    tape: Tape,
}

impl About<'_> {
    /// Whether a trouble is not there while something is made true for a moment.
    fn gone(&self, key: &Key) -> bool {
        let now = &self.solved.found.inspection;
        self.solved.base.is_some() && !now.find(key).is_some_and(Finding::is_trouble)
    }
}

/// Gathers what the panel shows.
pub(super) fn view(
    solved: &Solved,
    (showing, sift): (&Showing, &Sift),
    explained: &Explained,
    drawn: Option<&Drawn>,
) -> TroublesView {
    let chain = solved.as_found();
    let about = About {
        solved,
        sift,
        picked: sift::picked(showing),
        drawn,
        tape: solved.job.tape,
    };
    let lines = sift.lines(chain, &solved.job, about.picked);
    let shown: usize = sift.shown(chain, &solved.job).iter().map(Vec::len).sum();
    let [open, stand] = Sift::default().shown(chain, &solved.job);
    let all = open.len() + stand.len();
    let part = match &showing.picked {
        Some(Pick::Part(name)) => Some((name.clone(), facts::of_part(name, solved))),
        _ => None,
    };
    TroublesView {
        counts: counts(&open, stand.len()),
        chips: chips(solved, sift, &[open, stand].concat()),
        order: sift.order,
        words: sift.words.clone(),
        finds: sift.finds,
        left_out: sift.sifts().then(|| format!("{shown} of {all}")),
        rows: lines.map(|lines| lines.iter().map(|line| row_of(line, &about)).collect()),
        detail: detail(solved, (showing, sift), explained, drawn),
        part,
    }
}

fn counts(open: &[&Finding], stand: usize) -> String {
    let of = |severity| open.iter().filter(|one| one.severity == severity).count();
    let counts = [
        (of(Severity::Stop), "to stop for"),
        (of(Severity::Fix), "to fix"),
        (of(Severity::Remark), "remarks"),
        (stand, "let stand"),
    ];
    let said: Vec<String> = counts
        .iter()
        .filter(|(count, _)| *count > 0)
        .map(|(count, words)| match (*count, *words) {
            (1, "remarks") => "1 remark".to_owned(),
            (count, words) => format!("{count} {words}"),
        })
        .collect();
    if said.is_empty() {
        "none found".to_owned()
    } else {
        said.join(", ")
    }
}

/// What one can sift by: only what there is any of.
fn chips(solved: &Solved, sift: &Sift, all: &[&Finding]) -> Vec<Vec<Chip>> {
    let chip = |ask, word: &str, on, is: &dyn Fn(&Finding) -> bool| Chip {
        ask,
        word: word.to_owned(),
        count: all.iter().filter(|one| is(one)).count(),
        on,
    };
    let topics = Topic::ALL.map(|topic| {
        let on = sift.topics.contains(&topic);
        let is = |one: &Finding| Topic::of(one.key.kind) == topic;
        chip(Ask::Topic(topic), topic.word(), on, &is)
    });
    let severities = [Severity::Stop, Severity::Fix, Severity::Remark].map(|severity| {
        let on = sift.severities.contains(&severity);
        let is = |one: &Finding| one.severity == severity;
        chip(
            Ask::Severity(severity),
            &word(severity).to_lowercase(),
            on,
            &is,
        )
    });
    let runs = solved.as_found().runs.iter().enumerate().map(|(at, run)| {
        let on = sift.runs.contains(&at);
        let name = format!("run {}", run.run.name);
        chip(Ask::Run(at), &name, on, &|one: &Finding| one.run == at)
    });
    let several = solved.as_found().runs.len() > 1;
    let mut rows: Vec<Vec<Chip>> = vec![topics.into(), severities.into()];
    if several {
        rows.push(runs.collect());
    }
    for row in &mut rows {
        row.retain(|chip| chip.count > 0 || chip.on);
    }
    rows.retain(|row| row.len() > 1 || row.iter().any(|chip| chip.on));
    rows
}

/// The panel.
pub(super) fn troubles_ui(ui: &mut Ui, view: &TroublesView, reason: &mut Reason) -> Vec<Action> {
    let mut asked = Vec::new();
    heading(ui, "Troubles");
    quiet(ui, &view.counts);
    asked.extend(sift_ui(ui, view));
    let below = view.detail.is_some() || view.part.is_some();
    let room = ui.available_height();
    let list = if below { room * 0.42 } else { room };
    egui::ScrollArea::vertical()
        .id_salt("list")
        .max_height(list)
        .auto_shrink([false, !below])
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 2.0;
            for row in &view.rows[0] {
                asked.extend(row_ui(ui, row));
            }
            if !view.rows[1].is_empty() {
                heading(ui, "Let stand");
                for row in &view.rows[1] {
                    asked.extend(row_ui(ui, row));
                }
            }
        });
    if !below {
        return asked;
    }
    egui::ScrollArea::vertical()
        .id_salt("detail")
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            if let Some(detail) = &view.detail {
                asked.extend(detail_ui(ui, detail, reason));
            }
            if let Some((name, found)) = &view.part {
                heading(ui, name);
                asked.extend(facts::facts_ui(ui, found));
            }
        });
    asked
}

/// The line to type on, and what one can sift and order by.
fn sift_ui(ui: &mut Ui, view: &TroublesView) -> Vec<Action> {
    let mut asked = Vec::new();
    ui.horizontal(|ui| {
        asked.extend(words_ui(ui, view));
        if let Some(left_out) = &view.left_out {
            quiet(ui, left_out);
            if ui.small_button("show all").clicked() {
                asked.push(Action::Sift(Ask::All));
            }
        }
    });
    ui.scope(|ui| {
        ui.spacing_mut().item_spacing = vec2(4.0, 3.0);
        ui.spacing_mut().button_padding = vec2(5.0, 1.0);
        ui.spacing_mut().interact_size.y = 19.0;
        for row in &view.chips {
            ui.horizontal_wrapped(|ui| {
                for chip in row {
                    let says = format!("{} {}", chip.word, chip.count);
                    if toggled(ui, &says, chip.on) {
                        asked.push(Action::Sift(chip.ask.clone()));
                    }
                }
            });
        }
        ui.horizontal_wrapped(|ui| {
            for (order, says) in Order::ALL {
                if toggled(ui, says, view.order == order) {
                    asked.push(Action::Sift(Ask::Order(order)));
                }
            }
        });
    });
    ui.add_space(3.0);
    asked
}

/// Something that is on or off, told by an underline and a stronger hand as well as by its colour.
fn toggled(ui: &mut Ui, says: &str, on: bool) -> bool {
    let text = RichText::new(says).size(12.0);
    let (text, edge, fill) = if on {
        let text = text.strong().underline().color(ink(look::PENCIL));
        (text, look::CHALK, look::CARD)
    } else {
        (
            text.color(ink(look::PENCIL_SOFT)),
            look::PENCIL_FAINT,
            look::SHEET,
        )
    };
    let button = egui::Button::new(text)
        .fill(ink(fill))
        .stroke(Stroke::new(1.0, ink(edge)));
    ui.add(button).clicked()
}

/// The line to type words on. While the keys are in it, up and down go through the list and Enter
/// opens a line.
fn words_ui(ui: &mut Ui, view: &TroublesView) -> Vec<Action> {
    let mut asked = Vec::new();
    let id = ui.id().with("words");
    if ui.memory(|memory| memory.has_focus(id)) {
        let pressed = |key| ui.input_mut(|input| input.consume_key(egui::Modifiers::NONE, key));
        if pressed(egui::Key::ArrowDown) {
            asked.push(Action::Sift(Ask::Step { backwards: false }));
        }
        if pressed(egui::Key::ArrowUp) {
            asked.push(Action::Sift(Ask::Step { backwards: true }));
        }
        if pressed(egui::Key::Enter) {
            asked.push(Action::Sift(Ask::Enter));
        }
    }
    let mut words = view.words.clone();
    let width = if view.left_out.is_some() {
        136.0
    } else {
        250.0
    };
    let line = egui::TextEdit::singleline(&mut words)
        .id(id)
        .char_limit(80)
        .desired_width(width)
        .hint_text("a word to find (Ctrl+F)");
    let line = ui.add(line);
    if line.changed() {
        asked.push(Action::Sift(Ask::Words(words)));
    }
    // The key that asks for it was pressed since this was last drawn.
    let seen = ui.data_mut(|data| *data.get_temp_mut_or_default::<u32>(id));
    if seen != view.finds {
        ui.data_mut(|data| data.insert_temp(id, view.finds));
        line.request_focus();
    }
    asked
}

/// One line: the mark, the word, the sentence.
fn row_ui(ui: &mut Ui, row: &Row) -> Option<Action> {
    let width = ui.available_width();
    let quieter = row.gone || row.stands.is_some();
    let text = RichText::new(&row.says).size(13.0);
    let text = if row.gone { text.strikethrough() } else { text };
    let text = text.color(ink(if quieter {
        look::PENCIL_SOFT
    } else {
        look::PENCIL
    }));
    let indent = if row.inside { 14 } else { 0 };
    let inner = ui.scope(|ui| {
        let frame = egui::Frame::new()
            .inner_margin(egui::Margin {
                left: 30 + indent,
                right: 6,
                top: 4,
                bottom: 4,
            })
            .fill(if row.picked {
                ink(look::CARD)
            } else {
                egui::Color32::TRANSPARENT
            })
            .corner_radius(2);
        frame.show(ui, |ui| {
            ui.set_width(width - 36.0 - f32::from(indent));
            ui.spacing_mut().item_spacing.y = 1.0;
            row_text(ui, row, text);
        })
    });
    let rect = inner.response.rect;
    let id = ui.id().with(&row.key.parts).with(row.key.kind as u8);
    let response = ui.interact(rect, id.with(row.alike.is_some()), Sense::click());
    let outline = if row.at {
        look::CHALK
    } else {
        look::PENCIL_FAINT
    };
    if row.picked {
        let bar = egui::Rect::from_min_size(rect.min, vec2(3.0, rect.height()));
        ui.painter().rect_filled(bar, 0.0, ink(look::CHALK));
    }
    if row.at || (response.hovered() && !row.picked) {
        let stroke = Stroke::new(if row.at { 1.5 } else { 1.0 }, ink(outline));
        let inside = egui::StrokeKind::Inside;
        ui.painter().rect_stroke(rect, 2.0, stroke, inside);
    }
    if row.at && comes_to(ui, "troubles", response.id) {
        response.scroll_to_me(None);
    }
    let at = rect.left_top() + vec2(17.0 + f32::from(indent), 14.0);
    if row.stands.is_some() {
        mark_quiet(ui.painter(), at, row.severity, 12.0);
    } else {
        mark(ui.painter(), at, row.severity, 13.0, 1.0);
    }
    response.clicked().then(|| match row.alike {
        Some(_) => Action::Sift(Ask::Open(row.key.clone())),
        None => Action::Frame(Pick::Trouble(row.key.clone())),
    })
}

fn row_text(ui: &mut Ui, row: &Row, text: RichText) {
    let plain = |text: RichText| egui::Label::new(text).selectable(false);
    let colour = ink(look::severity_ink(row.severity));
    let small = |text: String| RichText::new(text).size(12.0);
    let soft = ink(look::PENCIL_SOFT);
    ui.horizontal(|ui| {
        ui.add(plain(
            small(word(row.severity).to_owned()).strong().color(colour),
        ));
        if let Some(past) = &row.past {
            ui.add(plain(small(past.clone()).color(soft)));
        }
        if let Some(odds) = &row.odds {
            ui.add(plain(small(format!("fails {odds}")).color(soft)));
        }
        if let Some(open) = row.alike {
            let says = if open { "close" } else { "open" };
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                ui.add(plain(small(says.to_owned()).underline().color(soft)));
            });
        }
    });
    ui.add(plain(text).wrap());
    if let Some(stands) = &row.stands {
        ui.add(plain(small(stands.clone()).italics().color(soft)).wrap());
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain;
    use crate::job::Document;
    use crate::measure::Length;

    #[test]
    fn how_far_past_its_limit_is_told_on_the_tape_and_as_a_share() {
        const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");
        let document = Document::parse(DEMO, "test.ron").unwrap();
        let chain = chain::run(document.job()).unwrap();
        let mut finding = chain.inspection.troubles()[0].clone();
        finding.verdict = Verdict::Broken;
        finding.sense = Side::AtLeast;
        finding.limit = Length::inches(10.0);
        finding.lower = Length::inches(9.25);
        finding.upper = finding.lower;
        let tape = document.job().tape;
        // 3/4 in short of 10 in: 7.5 %, printed to a whole one.
        let past = tape.print(Length::inches(0.75));
        assert_eq!(past_words(&finding, tape), Some(format!("{past}, 8 %")));
        finding.sense = Side::AtMost;
        finding.limit = Length::ZERO;
        let whole = tape.print(Length::inches(9.25));
        assert_eq!(past_words(&finding, tape), Some(whole));
    }

    #[test]
    fn a_row_of_names_goes_from_the_least_to_the_greatest() {
        const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");
        let document = Document::parse(DEMO, "test.ron").unwrap();
        let chain = chain::run(document.job()).unwrap();
        let one = &chain.inspection.findings[0];
        let named = |name: &str| {
            let mut one = one.clone();
            one.key.parts = vec!["R1".to_owned(), name.to_owned()];
            one
        };
        let all = ["T10", "T3", "T9"].map(named);
        let all: Vec<&Finding> = all.iter().collect();
        assert_eq!(from_to(&all), ", T3 to T10");
    }
}
