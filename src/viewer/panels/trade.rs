//! What wandering reveals and leaning balusters cost each other, as two lines, and the share between
//! them, to drag.

use bevy_egui::egui::{self, Align2, FontId, Pos2, Rect, Sense, Shape, Stroke, Ui, vec2};

use crate::chain::RunChain;
use crate::job::{Align, OneRun};
use crate::measure::{Length, Tape};
use crate::setout::{TradePoint, compromise};

use super::super::convert;
use super::super::look::{self, ink};
use super::super::session::Action;
use super::quiet;

/// Size of the drawing, points.
const WIDTH: f32 = 244.0;
const HEIGHT: f32 = 92.0;
/// Room beside the lines, for the labels above and below them.
const ABOVE: f32 = 18.0;
const BELOW: f32 = 18.0;
/// A dragged share goes by so much.
const STEP: f64 = 0.05;
/// A pointer that moved less than this along the drawing since it was pressed sets nothing, points.
const TOUCH: f32 = 8.0;

/// What the drawing shows.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct TradeView {
    /// The field of the share.
    path: String,
    /// Prices along the way, from plumb to even reveals.
    points: Vec<TradePoint>,
    /// The share that the job has, and its price.
    now: TradePoint,
    tape: Tape,
}

/// The share between plumb and even reveals.
const fn share_of(align: Align) -> f64 {
    match align {
        Align::Plumb => 0.0,
        Align::EvenReveal => 1.0,
        Align::Share(share) => share,
    }
}

/// A share as the file writes it, on the steps that are offered.
fn written(share: f64) -> String {
    let share = (share / STEP).round() * STEP;
    if share < STEP / 2.0 {
        "Plumb".to_owned()
    } else if share > 1.0 - STEP / 2.0 {
        "EvenReveal".to_owned()
    } else {
        format!("Share({share:.2})")
    }
}

/// Gathers it; `None` where no balusters stand on treads. The share is that of the job as it stands
/// now; line and rail are those of the last result, and no share moves them.
pub(super) fn view(run: &OneRun, found: &RunChain) -> Option<TradeView> {
    let (job, setout) = (&run.job, &found.setout);
    if !setout.on_treads() || setout.balusters.is_empty() || setout.trade.len() < 2 {
        return None;
    }
    let share = share_of(job.design.balusters.align);
    let now = compromise(job, &found.site, setout, &[share]);
    Some(TradeView {
        path: run.path("design.balusters.align"),
        points: setout.trade.clone(),
        now: *now.first()?,
        tape: job.tape,
    })
}

impl TradeView {
    /// The edit that takes a share; `None` where the job has it.
    fn take(&self, share: f64, drag: Option<u32>) -> Option<Action> {
        let value = written(share.clamp(0.0, 1.0));
        (value != written(self.now.share)).then(|| Action::Edit {
            path: self.path.clone(),
            value,
            drag,
        })
    }

    /// The longest price on the drawing.
    fn most(&self) -> Length {
        let prices = self
            .points
            .iter()
            .flat_map(|p| [p.reveal_range, p.worst_lean]);
        prices.fold(Length::ZERO, Length::max)
    }

    /// The job's share and what it costs.
    fn words(&self) -> String {
        let (wander, lean) = (
            self.tape.print(self.now.reveal_range),
            self.tape.print(self.now.worst_lean),
        );
        let share = match written(self.now.share).as_str() {
            "Plumb" => "plumb".to_owned(),
            "EvenReveal" => "even reveals".to_owned(),
            _ => format!("{:.0} % of the way to even", self.now.share * 100.0),
        };
        format!("{share}: reveals wander {wander}, worst lean {lean}")
    }
}

/// Where the drawing is held.
#[derive(Clone, Copy)]
struct Hold {
    number: u32,
    from: f32,
    moved: bool,
}

/// The drawing.
pub(super) fn trade_ui(ui: &mut Ui, view: &TradeView) -> Option<Action> {
    quiet(ui, "drag: from plumb balusters to even reveals");
    let id = ui.id().with(&view.path);
    let size = vec2(ui.available_width().min(WIDTH), HEIGHT);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click_and_drag());
    draw(ui, rect, view);
    quiet(ui, &view.words());
    let response = response.on_hover_cursor(egui::CursorIcon::ResizeHorizontal);
    let x = response.interact_pointer_pos()?.x;
    let share = f64::from((x - inside(rect).left()) / inside(rect).width());
    if response.clicked() {
        return view.take(share, None);
    }
    let holding = id.with("hold");
    if response.drag_started() {
        let count = id.with("count");
        let number = ui.data(|data| data.get_temp::<u32>(count)).unwrap_or(0);
        let number = number.wrapping_add(1);
        ui.data_mut(|data| data.insert_temp(count, number));
        let from = ui
            .input(|input| input.pointer.press_origin())
            .map_or(x, |at| at.x);
        let hold = Hold {
            number,
            from,
            moved: false,
        };
        ui.data_mut(|data| data.insert_temp(holding, hold));
    }
    if !response.dragged() {
        return None;
    }
    let mut hold = ui.data(|data| data.get_temp::<Hold>(holding))?;
    hold.moved |= (x - hold.from).abs() > TOUCH;
    ui.data_mut(|data| data.insert_temp(holding, hold));
    let drag = (id.value() as u32)
        .wrapping_mul(31)
        .wrapping_add(hold.number);
    hold.moved.then(|| view.take(share, Some(drag))).flatten()
}

/// Where the lines are drawn.
fn inside(rect: Rect) -> Rect {
    Rect::from_min_max(rect.min + vec2(6.0, ABOVE), rect.max - vec2(6.0, BELOW))
}

fn draw(ui: &Ui, rect: Rect, view: &TradeView) {
    let painter = ui.painter().with_clip_rect(rect);
    let plot = inside(rect);
    let (pencil, light) = (ink(look::PENCIL), ink(look::PENCIL_LIGHT));
    let faint = Stroke::new(1.0, ink(look::PENCIL_FAINT));
    painter.rect_filled(rect, 2.0, ink(look::CARD));
    painter.hline(plot.x_range(), plot.bottom(), faint);
    let most = view.most();
    let at = |share: f64, price: Length| {
        let part = if most > Length::ZERO {
            convert::single(price / most)
        } else {
            0.0
        };
        Pos2::new(
            egui::lerp(plot.x_range(), convert::single(share)),
            egui::lerp(plot.bottom()..=plot.top(), part),
        )
    };
    let wander: Vec<Pos2> = view
        .points
        .iter()
        .map(|p| at(p.share, p.reveal_range))
        .collect();
    let lean: Vec<Pos2> = view
        .points
        .iter()
        .map(|p| at(p.share, p.worst_lean))
        .collect();
    let (Some(first), Some(last)) = (view.points.first(), view.points.last()) else {
        return;
    };
    // The lean is dashed, so that the lines are told apart without colour.
    painter.add(Shape::line(wander.clone(), Stroke::new(1.6, pencil)));
    painter.extend(Shape::dashed_line(&lean, Stroke::new(1.6, light), 5.0, 3.5));
    let text = |at: Pos2, anchor, text: &str, colour| {
        painter.text(at, anchor, text, FontId::proportional(11.0), colour);
    };
    let wanders = format!("reveals wander {}", view.tape.print(first.reveal_range));
    text(
        Pos2::new(plot.left(), plot.top() - 2.0),
        Align2::LEFT_BOTTOM,
        &wanders,
        pencil,
    );
    let leans = format!("worst lean {}", view.tape.print(last.worst_lean));
    let end = lean.last().copied().unwrap_or(plot.right_bottom());
    let above = end - vec2(0.0, 3.0);
    text(above, Align2::RIGHT_BOTTOM, &leans, light);
    let foot = plot.bottom() + 3.0;
    text(
        Pos2::new(plot.left(), foot),
        Align2::LEFT_TOP,
        "plumb",
        light,
    );
    text(
        Pos2::new(plot.right(), foot),
        Align2::RIGHT_TOP,
        "even reveals",
        light,
    );
    // The pointer of the tapes: here it stands now.
    let red = ink(look::CRAYON);
    let x = egui::lerp(plot.x_range(), convert::single(view.now.share));
    painter.vline(x, plot.top()..=plot.bottom() + 4.0, Stroke::new(2.0, red));
    painter.circle_filled(at(view.now.share, view.now.reveal_range), 3.0, pencil);
    painter.circle_filled(at(view.now.share, view.now.worst_lean), 3.0, light);
    let edge = Stroke::new(1.0, light);
    ui.painter()
        .rect_stroke(rect, 2.0, edge, egui::StrokeKind::Inside);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain;
    use crate::job::Document;
    use bevy_egui::egui::{Event, Modifiers, PointerButton, RawInput};

    const DEMO: &str = include_str!("../../../demo-scenes/quarry-lane.ron");

    fn drawn(document: &Document) -> TradeView {
        let found = chain::run(document.job()).unwrap();
        let run = &document.job().each_run()[0];
        view(run, found.first()).unwrap()
    }

    fn demo() -> Document {
        Document::parse(DEMO, "test.ron").unwrap()
    }

    #[test]
    fn a_share_is_written_as_the_file_wants_it_and_reads_back() {
        for (share, text) in [
            (0.0, "Plumb"),
            (0.02, "Plumb"),
            (0.349, "Share(0.35)"),
            (0.5, "Share(0.50)"),
            (0.99, "EvenReveal"),
        ] {
            assert_eq!(written(share), text);
            let back: Align = ron::from_str(text).unwrap();
            assert!((share_of(back) - share).abs() <= STEP / 2.0 + 1e-9);
        }
    }

    /// The worst of the distances from one wanted reveal to several is at least half of the range
    /// of these, whatever is wanted: so much they lean where all reveals are even.
    #[test]
    fn the_prices_are_those_of_the_set_out() {
        let view = drawn(&demo());
        let (first, last) = (view.points[0], view.points[view.points.len() - 1]);
        assert!(first.worst_lean < Length::mm(1e-6));
        assert!(last.reveal_range < Length::mm(1e-6));
        assert!(last.worst_lean >= first.reveal_range * 0.5 - Length::mm(1e-6));
    }

    #[test]
    fn an_edit_of_the_share_moves_the_reveals_of_the_next_set_out_by_what_was_shown() {
        let document = demo();
        let taken = drawn(&document).take(0.5, Some(7)).unwrap();
        let Action::Edit { path, value, drag } = taken else {
            panic!("no edit");
        };
        assert_eq!(
            (path.as_str(), value.as_str()),
            ("design.balusters.align", "Share(0.50)")
        );
        assert_eq!(drag, Some(7));
        let next = document.set(&path, &value).unwrap();
        let found = chain::run(next.job()).unwrap();
        let balusters = &found.first().setout.balusters;
        let leans = balusters.iter().map(|one| one.lean.abs());
        let worst = leans.fold(Length::ZERO, Length::max);
        let told = drawn(&next).now.worst_lean;
        assert!(
            (worst - told).abs() < Length::mm(1e-6),
            "{worst:?} {told:?}"
        );
        // And what the job has already is no edit.
        assert!(drawn(&next).take(0.5, None).is_none());
    }

    /// Draws one frame with what the pointer did.
    fn frame(context: &egui::Context, view: &TradeView, events: Vec<Event>) -> Option<Action> {
        let input = RawInput {
            events,
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(276.0, 300.0))),
            ..RawInput::default()
        };
        let mut asked = None;
        let mut drawn = context.run_ui(input, |ui| asked = trade_ui(ui, view).or(asked.take()));
        drawn.textures_delta.clear();
        asked
    }

    #[test]
    fn a_drag_is_one_edit_after_another_under_one_number() {
        let (context, view) = (egui::Context::default(), drawn(&demo()));
        frame(&context, &view, Vec::new());
        let button = |at: Pos2, pressed| Event::PointerButton {
            pos: at,
            button: PointerButton::Primary,
            pressed,
            modifiers: Modifiers::NONE,
        };
        let from = Pos2::new(60.0, 60.0);
        let moved = |x: f32| Event::PointerMoved(Pos2::new(x, 62.0));
        frame(&context, &view, vec![Event::PointerMoved(from)]);
        frame(&context, &view, vec![button(from, true)]);
        let mut edits = Vec::new();
        for x in [90.0, 130.0, 400.0] {
            edits.extend(frame(&context, &view, vec![moved(x)]));
        }
        edits.extend(frame(
            &context,
            &view,
            vec![button(Pos2::new(400.0, 62.0), false)],
        ));
        let (mut values, mut numbers) = (Vec::new(), Vec::new());
        for edit in edits {
            let Action::Edit { value, drag, .. } = edit else {
                panic!("{edit:?}")
            };
            values.push(value);
            numbers.push(drag);
        }
        numbers.dedup();
        assert!(numbers.len() == 1 && numbers[0].is_some(), "{numbers:?}");
        assert!(
            values.len() >= 2 && values.last().unwrap() == "EvenReveal",
            "{values:?}"
        );
    }
}
