//! The chart of how a small error on each step adds up along a flight: the same figures, words and
//! scale as the one on paper.
//!
//! Every line has its name beside its end and its own way of being drawn, so that it reads without
//! colour.

use bevy_egui::egui::{
    self, Align2, FontId, Pos2, Rect, RichText, Sense, Shape, Stroke, Ui, pos2, vec2,
};

use crate::doubt::compounding::{Compounding, Fan, FanStep, Sum};
use crate::job::limits::TOLERANCE;
use crate::measure::{Length, Tape};
use crate::publish::compounding::{fine, heading, off_words, says, sides, up_to};
use crate::publish::drawing::{Scale, places};

use super::super::super::compounding::{Ask, Compound};
use super::super::super::convert::single;
use super::super::super::look::{self, ink};
use super::super::super::session::Action;
use super::super::quiet;

/// Width of the panel while the chart is open, points.
pub(super) const WIDTH: f32 = 640.0;
/// Where a plot begins, how wide it is, how tall, and where names stand.
const LEFT: f32 = 62.0;
const PLOT: f32 = 312.0;
const TALL: f32 = 168.0;
const NAMES: f32 = LEFT + PLOT + 22.0;
/// From one line of a name to the next.
const LEADING: f32 = 15.0;
/// Above and below a plot, for the words at its sides and the numbers of the steps.
const ABOVE: f32 = 16.0;
const BELOW: f32 = 20.0;
/// Washes for nineteen times in twenty and for half the time: pale and less pale timber.
const NEARLY: look::Tone = look::Tone::new([233, 220, 195], [62, 60, 50]);
const EVEN: look::Tone = look::Tone::new([213, 189, 152], [96, 84, 60]);

/// What it shows.
pub(super) struct ChartView {
    per_step: Length,
    tape: Tape,
    /// The flights; none while it is being worked out.
    all: Option<Vec<Compounding>>,
}

/// Gathers it.
pub(super) fn view(chart: &Compound, tape: Tape) -> Option<ChartView> {
    chart.open.then(|| ChartView {
        per_step: chart.per_step,
        tape,
        all: chart.told().map(<[Compounding]>::to_vec),
    })
}

/// The choice between the odds and the chart.
pub(super) fn tabs_ui(ui: &mut Ui, open: bool) -> Option<Action> {
    let mut asked = None;
    ui.horizontal(|ui| {
        for (words, chart) in [
            ("What may fail", false),
            ("What small errors add up to", true),
        ] {
            let text = RichText::new(words).size(13.5);
            let tab = egui::Button::selectable(open == chart, text);
            if ui.add(tab).on_hover_text("key A").clicked() && open != chart {
                asked = Some(Action::Compounding(Ask::Open(chart)));
            }
        }
    });
    ui.add_space(4.0);
    asked
}

/// The chart.
pub(super) fn chart_ui(ui: &mut Ui, view: &ChartView) -> Option<Action> {
    let asked = per_step_ui(ui, view);
    let Some(all) = &view.all else {
        quiet(ui, "working it out ...");
        return asked;
    };
    if all.is_empty() {
        quiet(ui, "no flight of this job has readings of its own");
    }
    egui::ScrollArea::vertical()
        .id_salt("compounding")
        .auto_shrink(false)
        .show(ui, |ui| {
            for told in all {
                if all.len() > 1 {
                    super::super::heading(ui, &format!("Run {}", told.run));
                }
                for fan in told.fans.iter().filter(|fan| !fan.steps.is_empty()) {
                    fan_ui(ui, fan, told.per_step, view.tape);
                }
            }
        });
    asked
}

/// What a text is as an error on a step.
fn read(text: &str, tape: Tape) -> Result<Length, String> {
    let length = tape.read(text).map_err(|error| error.problem)?;
    let most = TOLERANCE.most;
    if Length::ZERO < length && length <= most {
        Ok(length)
    } else {
        Err(format!("more than zero, and {} at most", tape.print(most)))
    }
}

/// The error on each step, typed or stepped by half a mark.
fn per_step_ui(ui: &mut Ui, view: &ChartView) -> Option<Action> {
    let (id, tape) = (ui.id().with("per step"), view.tape);
    let mut asked = None;
    let wrong = id.with("wrong");
    ui.horizontal(|ui| {
        ui.label(RichText::new("off on each step, either way, up to").size(13.5));
        let step = tape.mark() / 2.0;
        let mut to = |by: f64| {
            let next = view.per_step + step * by;
            (Length::ZERO < next && next <= TOLERANCE.most).then(|| {
                asked = Some(next);
            })
        };
        if ui.button("-").clicked() {
            let _least = to(-1.0);
        }
        let mut plus = false;
        let kept = ui.data(|data| data.get_temp::<String>(id));
        let mut text = kept.unwrap_or_else(|| fine(tape, view.per_step));
        let edit = egui::TextEdit::singleline(&mut text).id(id.with("edit"));
        let response = ui.add(edit.desired_width(70.0));
        if ui.button("+").clicked() {
            plus = true;
        }
        if plus {
            let _most = to(1.0);
        }
        if response.has_focus() {
            ui.data_mut(|data| data.insert_temp(id, text.clone()));
        }
        if response.lost_focus() {
            ui.data_mut(|data| data.remove::<String>(id));
            let told = read(&text, tape);
            ui.data_mut(|data| match &told {
                Ok(_) => data.remove::<String>(wrong),
                Err(problem) => {
                    let _key = data.insert_temp(wrong, problem.clone());
                }
            });
            asked = told.ok().or(asked);
        }
    });
    if let Some(problem) = ui.data(|data| data.get_temp::<String>(wrong)) {
        ui.label(RichText::new(problem).size(12.0).color(ink(look::CRAYON)));
    }
    let new = asked.filter(|new| (*new - view.per_step).abs() > Length::mm(1e-9));
    new.map(|per_step| Action::Compounding(Ask::PerStep(per_step)))
}

/// One sum: its name, its plot, and its sentences.
fn fan_ui(ui: &mut Ui, fan: &Fan, per_step: Length, tape: Tape) {
    ui.add_space(8.0);
    ui.label(
        RichText::new(heading(fan.of))
            .size(14.5)
            .strong()
            .color(ink(look::CHALK)),
    );
    let size = vec2(ui.available_width(), ABOVE + TALL + BELOW);
    let (whole, _) = ui.allocate_exact_size(size, Sense::hover());
    if ui.is_rect_visible(whole) {
        let corner = whole.min + vec2(LEFT, ABOVE);
        let room = Rect::from_min_size(corner, vec2(PLOT, TALL));
        Plot::of(ui, fan, tape, room).draw(per_step);
    }
    for sentence in says(fan, per_step, tape) {
        ui.add(egui::Label::new(RichText::new(sentence).size(12.5)).wrap());
    }
}

/// A plot being drawn.
struct Plot<'a> {
    ui: &'a Ui,
    fan: &'a Fan,
    tape: Tape,
    room: Rect,
    scale: Scale,
}

impl<'a> Plot<'a> {
    fn of(ui: &'a Ui, fan: &'a Fan, tape: Tape, room: Rect) -> Self {
        let across = (f64::from(room.left()), f64::from(room.right()));
        let down = (f64::from(room.top()), f64::from(room.bottom()));
        let scale = Scale::of(fan, tape, across, down);
        Self {
            ui,
            fan,
            tape,
            room,
            scale,
        }
    }

    fn at(&self, row: &FanStep, off: Length) -> Pos2 {
        let (x, y) = self.scale.at(row.step, off);
        pos2(single(x), single(y))
    }

    fn y(&self, off: Length) -> f32 {
        single(self.scale.y(off))
    }

    /// Places of something that lies so far off, step by step.
    fn line(&self, off: impl Fn(&FanStep) -> Length) -> Vec<Pos2> {
        let rows = self.fan.steps.iter();
        rows.map(|row| self.at(row, off(row))).collect()
    }

    fn draw(&self, per_step: Length) {
        let painter = self.ui.painter();
        painter.rect_filled(self.room, 0.0, ink(look::CARD));
        self.wash(NEARLY, |row| row.stepped.nearly);
        self.wash(EVEN, |row| row.stepped.even);
        self.grid();
        let pencil = Stroke::new(1.4, ink(look::PENCIL));
        for side in [-1.0, 1.0] {
            painter.line(self.line(|row| row.same_way * side), pencil);
            let marks = self.line(|row| row.one_tape.nearly * side);
            painter.extend(Shape::dotted_line(&marks, ink(look::PENCIL), 4.0, 0.9));
        }
        self.stair();
        self.names(per_step);
    }

    /// What falls by chance.
    fn wash(&self, colour: look::Tone, half: impl Fn(&FanStep) -> Length) {
        let edges = self.line(|row| -half(row)).into_iter();
        // One sheet: pieces beside each other would show their seams.
        let mut sheet = egui::Mesh::default();
        for (low, high) in edges.zip(self.line(&half)) {
            sheet.colored_vertex(low, ink(colour));
            sheet.colored_vertex(high, ink(colour));
        }
        for at in (2..sheet.vertices.len() as u32).step_by(2) {
            sheet.add_triangle(at - 2, at - 1, at);
            sheet.add_triangle(at - 1, at, at + 1);
        }
        self.ui.painter().add(Shape::mesh(sheet));
    }

    /// Marks of the tape either way, what is over and under, and the numbers of the steps.
    fn grid(&self) {
        let painter = self.ui.painter();
        let text = |at: Pos2, align: Align2, words: &str, size: f32, colour: look::Tone| {
            painter.text(at, align, words, FontId::proportional(size), ink(colour));
        };
        for mark in self.scale.marks() {
            let none = mark.abs() < self.scale.mark / 2.0;
            let (stroke, words) = if none {
                (Stroke::new(1.2, ink(look::PENCIL)), "0".to_owned())
            } else {
                let faint = Stroke::new(0.7, ink(look::PENCIL_FAINT));
                (faint, fine(self.tape, mark.abs()))
            };
            let y = self.y(mark);
            painter.hline(self.room.x_range(), y, stroke);
            let at = pos2(self.room.left() - 6.0, y);
            text(at, Align2::RIGHT_CENTER, &words, 11.5, look::PENCIL_SOFT);
        }
        let [over, under] = sides(self.fan.of);
        let x = self.room.left() + 7.0;
        let (top, bottom) = (self.room.top() + 9.0, self.room.bottom() - 9.0);
        for (y, words) in [(top, over), (bottom, under)] {
            text(pos2(x, y), Align2::LEFT_CENTER, words, 11.5, look::PENCIL);
        }
        let every = self.scale.every();
        for row in self.fan.steps.iter().filter(|row| row.step % every == 0) {
            let at = pos2(self.at(row, Length::ZERO).x, self.room.bottom() + 10.0);
            let words = row.step.to_string();
            text(at, Align2::CENTER_CENTER, &words, 11.5, look::PENCIL_SOFT);
        }
        let at = pos2(self.room.left() + PLOT + 22.0, self.room.bottom() + 10.0);
        text(at, Align2::LEFT_CENTER, "step", 11.5, look::PENCIL_SOFT);
    }

    /// The stair as found, and what its readings leave open.
    fn stair(&self) {
        let painter = self.ui.painter();
        let thin = Stroke::new(1.1, ink(look::CHALK));
        let bar = |row: &FanStep, half: Length, stroke: Stroke| {
            let ends = [-1.0, 1.0].map(|side| self.at(row, row.found + half * side));
            painter.line_segment(ends, stroke);
        };
        if self.fan.of == Sum::TreadEnds {
            for row in &self.fan.steps {
                bar(row, row.open.nearly, thin);
            }
        } else {
            for side in [-1.0, 1.0] {
                let edge = self.line(|row| row.found + row.open.nearly * side);
                painter.extend(Shape::dashed_line(&edge, thin, 5.0, 3.0));
            }
        }
        for row in &self.fan.steps {
            bar(row, row.open.even, Stroke::new(3.0, ink(look::CHALK)));
        }
        let found = self.line(|row| row.found);
        painter.line(found.clone(), Stroke::new(1.6, ink(look::CHALK)));
        for spot in found {
            painter.circle(
                spot,
                2.8,
                ink(look::CHALK),
                Stroke::new(0.8, ink(look::CARD)),
            );
        }
    }

    /// The name of every line beside its end: none over another.
    fn names(&self, per_step: Length) {
        let Some(last) = self.fan.last() else { return };
        let names = names(self.fan, last, per_step, self.tape);
        let mut all: Vec<(f32, Vec<String>, look::Tone)> = names
            .into_iter()
            .map(|(off, lines, colour)| (self.y(off), lines, colour))
            .collect();
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        let tall = |lines: &[String]| LEADING * crate::viewer::convert::count(lines.len());
        let wanted: Vec<(f64, f64)> = all
            .iter()
            .map(|(y, lines, _)| (f64::from(*y), f64::from(tall(lines))))
            .collect();
        let room = (self.room.top() - 14.0, self.room.bottom() + 4.0);
        let put = places(&wanted, (f64::from(room.0), f64::from(room.1)));
        let painter = self.ui.painter();
        let left = self.room.left() - LEFT + NAMES;
        for ((y, lines, colour), middle) in all.iter().zip(put) {
            let first = single(middle) - (tall(lines) - LEADING) / 2.0;
            let end = self.room.right() + 2.0;
            let way = vec![pos2(end, *y), pos2(end + 7.0, *y), pos2(left - 3.0, first)];
            painter.line(way, Stroke::new(0.7, ink(look::PENCIL_LIGHT)));
            for (line, text) in lines.iter().enumerate() {
                let at = pos2(left, first + LEADING * crate::viewer::convert::count(line));
                painter.text(
                    at,
                    Align2::LEFT_CENTER,
                    text,
                    FontId::proportional(12.0),
                    ink(*colour),
                );
            }
        }
    }
}

/// What each line is called, and where it ends.
fn names(
    fan: &Fan,
    last: &FanStep,
    per_step: Length,
    tape: Tape,
) -> Vec<(Length, Vec<String>, look::Tone)> {
    let pencil = |off: Length, text: String| (off, vec![text], look::PENCIL);
    let stair = match off_words(fan.of, last.found, tape) {
        Some(off) => format!("this stair: {off}"),
        None => "this stair: as meant".to_owned(),
    };
    let line = match fan.of {
        Sum::TreadEnds => "thin bars",
        Sum::Heights | Sum::Goings => "dashed",
    };
    let (nearly, even) = (last.open.nearly, last.open.even);
    let chalk = vec![
        stair,
        format!("known to {}, 19 in 20 ({line})", up_to(tape, nearly)),
        format!("half the time to {} (thick bars)", up_to(tape, even)),
    ];
    let chance = |half: Length, often: &str| {
        pencil(half, format!("by chance, {often}: {}", up_to(tape, half)))
    };
    vec![
        pencil(
            last.same_way,
            format!("all the same way: {}", tape.print(last.same_way)),
        ),
        chance(last.stepped.nearly, "19 in 20"),
        chance(last.stepped.even, "half the time"),
        pencil(
            last.one_tape.nearly,
            format!("marked from one end: {}", fine(tape, per_step)),
        ),
        (last.found, chalk, look::CHALK),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    const DEMO: &str = include_str!("../../../../demo-scenes/quarry-lane.ron");

    #[test]
    fn an_error_on_a_step_is_more_than_nothing_and_less_than_two_inches() {
        let tape = Tape::Sixteenths;
        assert_eq!(read("1/8", tape).unwrap(), Length::inches(0.125));
        for text in ["0", "-1/8", "3", "x"] {
            assert!(read(text, tape).is_err(), "{text}");
        }
    }

    #[test]
    fn every_line_has_a_name_with_the_figure_of_the_core() {
        let document = crate::job::Document::parse(DEMO, "test.ron").unwrap();
        let chain = crate::chain::run(document.job()).unwrap();
        let per_step = Length::inches(1.0 / 16.0);
        let told = crate::doubt::compounding::compounding(chain.first(), per_step).unwrap();
        let heights = &told.fans[0];
        let last = heights.last().unwrap();
        let said = names(heights, last, per_step, Tape::Sixteenths);
        let all: Vec<&str> = said
            .iter()
            .flat_map(|one| &one.1)
            .map(String::as_str)
            .collect();
        // Sixteen rises each a sixteenth off the same way are an inch (16 x 1/16).
        let rises = f64::from(document.job().flight.count);
        let same = Tape::Sixteenths.print(Length::inches(rises / 16.0));
        assert!(
            all.contains(&format!("all the same way: {same}").as_str()),
            "{all:?}"
        );
        assert!(all.iter().any(|one| one.starts_with("this stair: ")));
        assert_eq!(said.len(), 5);
    }
}
