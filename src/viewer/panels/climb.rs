//! The strip beside the picture: one quantity up the flight, step by step, on a strip of paper. What one
//! has climbed is inked, what is to come is drawn lightly; the step that is lit stands under the line.

use bevy_egui::egui::{
    self, Align2, Color32, FontId, Painter, Pos2, Rect, Sense, Shape, Stroke, Ui, pos2, vec2,
};

use crate::inspect::climb::{Climb, ClimbStep, Of, Strip, StripPoint};
use crate::measure::{Length, Tape, Unit};
use crate::rules::Sense as Side;

use super::super::climb::{Ask, Climbing, words};
use super::super::look::{self, ink};
use super::super::session::Action;
use super::super::{Showing, Solved, convert};

/// Height of the strip, points.
pub(super) const HEIGHT: f32 = 158.0;
/// Width of the words on the left, of the figures of the scale, and of the choices on the right.
const WORDS: f32 = 262.0;
const SCALE: f32 = 62.0;
const CHOICES: f32 = 262.0;
/// Room over the strip for the lit step's mark, and under it for the numbers of the steps.
const OVER: f32 = 16.0;
const UNDER: f32 = 20.0;
/// At most so many lines of the scale.
const MOST_LINES: f64 = 5.0;

/// What the strip shows.
pub(super) struct ClimbView<'a> {
    climb: &'a Climb,
    step: &'a ClimbStep,
    flight: usize,
    flights: usize,
    of: Of,
    bars: bool,
    levels: bool,
    tape: Tape,
}

/// Gathers it; `None` where the strip is not open.
pub(super) fn view<'a>(
    climbing: &Climbing,
    showing: &Showing,
    solved: &'a Solved,
) -> Option<ClimbView<'a>> {
    let (climb, step) = climbing.drawn(showing, &solved.climbs)?;
    Some(ClimbView {
        climb,
        step,
        flight: climbing.flight,
        flights: solved.climbs.len(),
        of: climbing.of,
        bars: climbing.draws_bars(showing),
        levels: climbing.draws_levels(showing),
        tape: solved.job.tape,
    })
}

/// The strip.
pub(super) fn climb_ui(ui: &mut Ui, view: &ClimbView<'_>) -> Vec<Action> {
    let mut asked = Vec::new();
    ui.set_height(HEIGHT);
    ui.horizontal_top(|ui| {
        let down = egui::Layout::top_down(egui::Align::Min);
        ui.allocate_ui_with_layout(vec2(WORDS, HEIGHT), down, |ui| {
            ui.set_width(WORDS);
            asked.extend(words_ui(ui, view));
        });
        let wide = ui.available_width();
        let choices = wide > 2.0 * CHOICES;
        let strip = wide - if choices { CHOICES + 14.0 } else { 0.0 };
        asked.extend(strip_ui(ui, view, vec2(strip.max(120.0), HEIGHT)));
        if choices {
            ui.add_space(6.0);
            ui.allocate_ui_with_layout(vec2(CHOICES, HEIGHT), down, |ui| {
                asked.extend(choices_ui(ui, view));
            });
        }
    });
    asked.into_iter().map(Action::Climb).collect()
}

/// What the lit step has, in words, and what can be drawn with it.
fn words_ui(ui: &mut Ui, view: &ClimbView<'_>) -> Vec<Ask> {
    let mut asked = Vec::new();
    ui.spacing_mut().item_spacing.y = 3.0;
    ui.horizontal(|ui| {
        let flight = if view.flights > 1 {
            format!(", flight {} of {}", view.flight + 1, view.flights)
        } else {
            String::new()
        };
        let head = format!(
            "Step {} of {}{flight}",
            view.step.step,
            view.climb.steps.len()
        );
        ui.label(egui::RichText::new(head).size(15.0).strong());
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let mut button = |word, key, ask| {
                if ui.small_button(word).on_hover_text(key).clicked() {
                    asked.push(ask);
                }
            };
            button("up", "Page Up", Ask::Up);
            button("down", "Page Down", Ask::Down);
        });
    });
    let value = words::value(view.of, view.step, view.tape);
    let value = value.unwrap_or_else(|| "nothing to read here".to_owned());
    ui.label(
        egui::RichText::new(value)
            .size(19.0)
            .color(ink(look::CHALK)),
    );
    let soft = |text: String| {
        egui::RichText::new(text)
            .size(12.5)
            .color(ink(look::PENCIL_SOFT))
    };
    ui.add(egui::Label::new(soft(words::behind(view.of, view.step, view.tape))).wrap());
    for limit in words::limits(view.climb, view.of, view.tape).iter().take(2) {
        ui.add(egui::Label::new(soft(limit.clone())).wrap());
    }
    ui.add_space((ui.available_height() - 24.0).max(0.0));
    ui.horizontal(|ui| {
        let mut toggle = |on: bool, word: &str, ask| {
            if ui.selectable_label(on, word).clicked() {
                asked.push(ask);
            }
        };
        toggle(view.bars, "reveal bars", Ask::Bars(!view.bars));
        toggle(view.levels, "level lines", Ask::Levels(!view.levels));
        toggle(false, "close (S)", Ask::Open(false));
    });
    asked
}

/// The scale of a strip: the values at its foot and head.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Scale {
    low: Length,
    high: Length,
}

impl Scale {
    /// A scale that holds the values and what was meant, and the limits where they are near. A strip
    /// on which nothing departs shows a few marks all the same, so that noise is not drawn large.
    fn of(strip: &Strip, climb: &Climb, tape: Tape) -> Option<Self> {
        let meant = strip.meant?;
        let (low, high) = strip.extent?;
        let (mut low, mut high) = (low.min(meant), high.max(meant));
        let least = tape.mark() * 4.0;
        if high - low < least {
            let more = (least - (high - low)) / 2.0;
            (low, high) = (low - more, high + more);
        }
        let tall = high - low;
        for limit in climb.limits_on(strip.of) {
            // A limit far from all values would press them together.
            let near = limit.at > low - tall * 0.6 && limit.at < high + tall * 0.6;
            if near {
                (low, high) = (low.min(limit.at), high.max(limit.at));
            }
        }
        let room = (high - low) * 0.1;
        Some(Self {
            low: low - room,
            high: high + room,
        })
    }

    /// How far up a value stands, 0 to 1.
    fn share(&self, value: Length) -> f32 {
        convert::single((value - self.low) / (self.high - self.low))
    }

    /// The marks of the tape at which lines are drawn: as many as can be read.
    fn lines(&self, tape: Tape) -> Vec<Length> {
        const MARKS: [f64; 9] = [1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0, 128.0, 256.0];
        const MILLIMETRES: [f64; 9] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0];
        let steps = match tape.unit() {
            Unit::Inches => MARKS,
            Unit::Millimetres => MILLIMETRES,
        };
        let tall = (self.high - self.low) / tape.mark();
        let few = |step: &&f64| tall / **step <= MOST_LINES;
        let step = tape.mark() * *steps.iter().find(few).unwrap_or(&steps[8]);
        let (first, last) = ((self.low / step).ceil(), (self.high / step).floor());
        let count = (last - first).clamp(0.0, MOST_LINES + 1.0) as u32;
        (0..=count)
            .map(|at| step * (first + f64::from(at)))
            .filter(|line| *line <= self.high)
            .collect()
    }
}

/// Where things lie on the strip.
struct Paper {
    rect: Rect,
    scale: Scale,
    steps: usize,
}

impl Paper {
    fn y(&self, value: Length) -> f32 {
        egui::lerp(
            self.rect.bottom()..=self.rect.top(),
            self.scale.share(value),
        )
    }

    /// The middle of a step, counted from 0.
    fn x(&self, at: usize) -> f32 {
        let share = (convert::count(at) + 0.5) / convert::count(self.steps.max(1));
        egui::lerp(self.rect.x_range(), share)
    }

    fn at(&self, step: usize, value: Length) -> Pos2 {
        pos2(self.x(step), self.y(value))
    }

    /// The step at a place across, counted from 1.
    fn step_at(&self, x: f32) -> u32 {
        let one = self.rect.width() / convert::count(self.steps.max(1));
        let before = (1..self.steps).filter(|at| self.rect.left() + one * convert::count(*at) <= x);
        before.count() as u32 + 1
    }
}

fn strip_ui(ui: &mut Ui, view: &ClimbView<'_>, size: egui::Vec2) -> Vec<Ask> {
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    let strip = view.climb.strip(view.of);
    let painter = ui.painter_at(rect.expand(1.0));
    let card = Rect::from_min_max(
        rect.min + vec2(SCALE, OVER + 12.0),
        rect.max - vec2(6.0, UNDER),
    );
    painter.text(
        rect.min + vec2(SCALE, 0.0),
        Align2::LEFT_TOP,
        words::title(view.of),
        FontId::proportional(13.0),
        ink(look::PENCIL),
    );
    painter.rect_filled(card, 2.0, ink(look::CARD));
    let Some(scale) = Scale::of(&strip, view.climb, view.tape) else {
        let says = "nothing to read on this flight";
        let font = FontId::proportional(13.0);
        painter.text(
            card.center(),
            Align2::CENTER_CENTER,
            says,
            font,
            ink(look::PENCIL_SOFT),
        );
        return Vec::new();
    };
    let paper = Paper {
        rect: card,
        scale,
        steps: strip.points.len(),
    };
    scale_lines(&painter, &paper, view, strip.meant);
    let lit = view.step.step;
    for point in &strip.points {
        adds(&painter, &paper, &strip, point, lit);
    }
    built_up(&painter, &paper, &strip, lit);
    numbers(&painter, &paper, &strip, lit);
    let over = response
        .interact_pointer_pos()
        .map(|at| paper.step_at(at.x));
    let step = over.filter(|step| *step != lit);
    let flight = view.flight;
    step.map(|step| Ask::Go { flight, step })
        .into_iter()
        .collect()
}

/// The lines of the scale with their figures, what was meant, and the limits.
fn scale_lines(painter: &Painter, paper: &Paper, view: &ClimbView<'_>, meant: Option<Length>) {
    let (card, tape) = (paper.rect, view.tape);
    for line in paper.scale.lines(tape) {
        let y = paper.y(line);
        painter.hline(card.x_range(), y, Stroke::new(0.8, ink(look::PENCIL_FAINT)));
        painter.text(
            pos2(card.left() - 6.0, y),
            Align2::RIGHT_CENTER,
            tape.print(line),
            FontId::proportional(11.5),
            ink(look::PENCIL_SOFT),
        );
    }
    if let Some(meant) = meant {
        let y = paper.y(meant);
        painter.hline(card.x_range(), y, Stroke::new(1.4, ink(look::CHALK)));
    }
    for limit in view.climb.limits_on(view.of) {
        let y = paper.y(limit.at);
        if !card.y_range().contains(y) {
            continue;
        }
        let crayon = Stroke::new(1.4, ink(look::CRAYON));
        let ends = [pos2(card.left(), y), pos2(card.right(), y)];
        painter.extend(Shape::dashed_line(&ends, crayon, 7.0, 4.0));
        let (anchor, off) = match limit.sense {
            Side::AtLeast => (Align2::RIGHT_TOP, 1.0),
            Side::AtMost | Side::Under => (Align2::RIGHT_BOTTOM, -1.0),
        };
        painter.text(
            pos2(card.right() - 4.0, y + off),
            anchor,
            words::limit(limit, tape),
            FontId::proportional(11.0),
            ink(look::CRAYON),
        );
    }
}

/// What a step adds by itself: a bar from what was meant. The values of a step that has several:
/// short strokes.
fn adds(painter: &Painter, paper: &Paper, strip: &Strip, point: &StripPoint, lit: u32) {
    let at = point.step as usize - 1;
    let climbed = point.step <= lit;
    let one = paper.rect.width() / convert::count(paper.steps.max(1));
    let half = (one * 0.22).min(11.0);
    if let (Some(adds), Some(meant)) = (point.adds, strip.meant) {
        let ends = [
            paper.at(at, meant) - vec2(half, 0.0),
            paper.at(at, adds) + vec2(half, 0.0),
        ];
        let bar = Rect::from_two_pos(ends[0], ends[1]);
        let edge = Stroke::new(1.0, ink(look::PENCIL_LIGHT));
        let fill = if climbed {
            look::tint(look::OCHRE, 0.55)
        } else {
            Color32::TRANSPARENT
        };
        painter.rect(bar, 0.0, fill, edge, egui::StrokeKind::Middle);
    }
    for value in &point.each {
        let at = paper.at(at, *value);
        let pen = Stroke::new(if climbed { 2.0 } else { 1.0 }, ink(look::PENCIL_LIGHT));
        painter.line_segment([at - vec2(half, 0.0), at + vec2(half, 0.0)], pen);
    }
}

/// True where a value breaks a limit of the strip.
fn breaks(climb: &Climb, of: Of, value: Length) -> bool {
    let mut limits = climb.limits_on(of);
    limits.any(|limit| !limit.sense.holds(value, limit.at))
}

/// The line through the values: inked as far as one has come, light from there on.
fn built_up(painter: &Painter, paper: &Paper, strip: &Strip, lit: u32) {
    let start = strip
        .start
        .map(|value| (0, pos2(paper.rect.left(), paper.y(value))));
    let places = strip.points.iter().filter_map(|point| {
        let at = paper.at(point.step as usize - 1, point.value?);
        Some((point.step, at))
    });
    let places: Vec<(u32, Pos2)> = start.into_iter().chain(places).collect();
    for pair in places.windows(2) {
        let ends = [pair[0].1, pair[1].1];
        if pair[1].0 <= lit {
            painter.line_segment(ends, Stroke::new(2.4, ink(look::PENCIL)));
        } else {
            let light = Stroke::new(1.2, ink(look::PENCIL_LIGHT));
            painter.extend(Shape::dashed_line(&ends, light, 4.0, 3.0));
        }
    }
    for (step, at) in places.iter().filter(|place| place.0 > 0) {
        if *step <= lit {
            painter.circle_filled(*at, 3.4, ink(look::PENCIL));
        } else {
            let light = Stroke::new(1.2, ink(look::PENCIL_LIGHT));
            painter.circle(*at, 3.0, ink(look::CARD), light);
        }
    }
}

/// The numbers of the steps, and the mark of the one that is lit.
fn numbers(painter: &Painter, paper: &Paper, strip: &Strip, lit: u32) {
    let card = paper.rect;
    let one = card.width() / convert::count(paper.steps.max(1));
    // Numbers that would run into each other are left out.
    let every = if one > 17.0 { 1 } else { 5 };
    for point in &strip.points {
        let x = paper.x(point.step as usize - 1);
        let is_lit = point.step == lit;
        if !is_lit && (point.step % every != 0 || every > 1 && point.step.abs_diff(lit) < 2) {
            continue;
        }
        let (size, colour) = if is_lit {
            (14.0, look::CHALK)
        } else {
            (11.5, look::PENCIL_SOFT)
        };
        painter.text(
            pos2(x, card.bottom() + 3.0),
            Align2::CENTER_TOP,
            point.step.to_string(),
            FontId::proportional(size),
            ink(colour),
        );
    }
    let x = paper.x(lit as usize - 1);
    let chalk = Stroke::new(1.6, ink(look::CHALK));
    painter.vline(x, card.top() - 3.0..=card.bottom(), chalk);
    let tip = pos2(x, card.top() - 1.0);
    let mark = vec![tip, tip + vec2(-6.0, -9.0), tip + vec2(6.0, -9.0)];
    painter.add(Shape::convex_polygon(mark, ink(look::CHALK), Stroke::NONE));
    let value = strip.points.get(lit as usize - 1).and_then(|one| one.value);
    if let Some(value) = value {
        let at = paper.at(lit as usize - 1, value);
        painter.circle(at, 5.5, ink(look::CARD), Stroke::new(2.6, ink(look::CHALK)));
    }
}

/// All quantities, small: each with its name and its shape, to choose from.
fn choices_ui(ui: &mut Ui, view: &ClimbView<'_>) -> Vec<Ask> {
    let mut asked = Vec::new();
    ui.spacing_mut().item_spacing = vec2(6.0, 4.0);
    let rows = Of::ALL.len().div_ceil(2);
    let tall = (HEIGHT - 4.0 * (convert::count(rows) - 1.0)) / convert::count(rows);
    egui::Grid::new("climb-choices")
        .spacing(vec2(6.0, 4.0))
        .min_row_height(tall)
        .show(ui, |ui| {
            for pair in Of::ALL.chunks(2) {
                for of in pair {
                    let size = vec2((CHOICES - 6.0) / 2.0, tall);
                    if choice(ui, view, *of, size).clicked() {
                        asked.push(Ask::Show(*of));
                    }
                }
                ui.end_row();
            }
        });
    asked
}

fn choice(ui: &mut Ui, view: &ClimbView<'_>, of: Of, size: egui::Vec2) -> egui::Response {
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let strip = view.climb.strip(of);
    let chosen = of == view.of;
    let painter = ui.painter_at(rect);
    let edge = if chosen || response.has_focus() {
        Stroke::new(2.0, ink(look::CHALK))
    } else {
        Stroke::new(1.0, ink(look::PENCIL_FAINT))
    };
    painter.rect(
        rect.shrink(1.0),
        2.0,
        ink(look::CARD),
        edge,
        egui::StrokeKind::Middle,
    );
    let (name, shape) = rect
        .shrink2(vec2(6.0, 4.0))
        .split_left_right_at_fraction(0.6);
    let colour = if strip.meant.is_some() {
        look::PENCIL
    } else {
        look::PENCIL_LIGHT
    };
    painter.text(
        name.left_center(),
        Align2::LEFT_CENTER,
        words::short(of),
        FontId::proportional(12.5),
        ink(colour),
    );
    if let Some(scale) = Scale::of(&strip, view.climb, view.tape) {
        let paper = Paper {
            rect: shape,
            scale,
            steps: strip.points.len(),
        };
        if let Some(meant) = strip.meant {
            let chalk = Stroke::new(1.0, ink(look::CHALK));
            painter.hline(shape.x_range(), paper.y(meant), chalk);
        }
        let places = strip
            .points
            .iter()
            .filter_map(|point| Some(paper.at(point.step as usize - 1, point.value?)));
        let line = Stroke::new(1.4, ink(look::PENCIL));
        painter.add(Shape::line(places.collect(), line));
        let values = strip.points.iter().flat_map(|point| {
            let each = point.each.iter().copied();
            point.value.into_iter().chain(each)
        });
        if values
            .into_iter()
            .any(|value| breaks(view.climb, of, value))
        {
            // A cross, so that it is not told by colour alone.
            let at = shape.right_top() + vec2(-3.0, 3.0);
            let crayon = Stroke::new(1.8, ink(look::CRAYON));
            painter.line_segment([at + vec2(-3.0, -3.0), at + vec2(3.0, 3.0)], crayon);
            painter.line_segment([at + vec2(-3.0, 3.0), at + vec2(3.0, -3.0)], crayon);
        }
    }
    response.widget_info(|| {
        egui::WidgetInfo::selected(egui::WidgetType::Button, true, chosen, words::short(of))
    });
    response.on_hover_text(words::title(of))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn scale(low: f64, high: f64) -> Scale {
        Scale {
            low: Length::inches(low),
            high: Length::inches(high),
        }
    }

    #[test]
    fn the_scale_has_lines_that_a_tape_has_and_few_enough_to_read() {
        let inches = |lines: Vec<Length>| -> Vec<f64> {
            lines
                .iter()
                .map(|line| (line.as_inches() * 1e6).round() / 1e6)
                .collect()
        };
        let lines = inches(scale(-0.05, 0.4).lines(Tape::Sixteenths));
        assert_eq!(lines, [0.0, 0.125, 0.25, 0.375]);
        let lines = inches(scale(7.3, 7.9).lines(Tape::Sixteenths));
        assert_eq!(lines, [7.375, 7.5, 7.625, 7.75, 7.875]);
        let metric = Scale {
            low: Length::mm(-4.0),
            high: Length::mm(13.0),
        };
        let lines: Vec<f64> = metric
            .lines(Tape::Millimetres)
            .iter()
            .map(|line| line.as_mm())
            .collect();
        assert_eq!(lines, [0.0, 5.0, 10.0]);
    }

    #[test]
    fn a_place_across_is_the_step_drawn_there() {
        let paper = Paper {
            rect: Rect::from_min_max(pos2(100.0, 0.0), pos2(240.0, 50.0)),
            scale: scale(0.0, 1.0),
            steps: 14,
        };
        for step in 0..14 {
            assert_eq!(paper.step_at(paper.x(step)), step as u32 + 1);
        }
        assert_eq!(paper.step_at(0.0), 1);
        assert_eq!(paper.step_at(900.0), 14);
    }

    #[test]
    fn higher_is_drawn_higher() {
        let paper = Paper {
            rect: Rect::from_min_max(pos2(0.0, 0.0), pos2(10.0, 50.0)),
            scale: scale(0.0, 1.0),
            steps: 3,
        };
        approx::assert_abs_diff_eq!(paper.y(Length::ZERO), 50.0, epsilon = 1e-4);
        approx::assert_abs_diff_eq!(paper.y(Length::inches(1.0)), 0.0, epsilon = 1e-4);
    }
}
