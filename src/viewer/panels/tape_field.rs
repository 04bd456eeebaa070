//! A length to edit as a carpenter would: type it, step it mark by mark, or pull the tape.

use bevy_egui::egui::{self, Align2, FontId, Id, Pos2, Rect, Sense, Stroke, Ui, vec2};

use crate::job::quoted;
use crate::measure::{Length, Tape, Unit, parse_length};

use super::super::convert;
use super::super::look::{self, ink};
use super::super::session::Action;

/// Points between two marks of the drawn tape.
const MARK_POINTS: f32 = 5.0;
/// Width of the drawn tape.
const TAPE_WIDTH: f32 = 244.0;
/// Height of the drawn tape.
const TAPE_HEIGHT: f32 = 30.0;

/// A length of the job that can be edited.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct LenField {
    /// Its field path.
    pub(super) path: String,
    /// Its text as the file has it.
    pub(super) text: String,
    /// Its value.
    pub(super) value: Length,
    /// The tape to step on.
    pub(super) tape: Tape,
    /// The unit that a bare number takes.
    pub(super) unit: Unit,
}

impl LenField {
    /// The edit that writes a text.
    fn write(&self, text: &str, drag: Option<u32>) -> Action {
        Action::Edit {
            path: self.path.clone(),
            value: quoted(text),
            drag,
        }
    }

    /// The edit that moves by so many marks from a value, on to the marks of the tape.
    fn marks_from(&self, from: Length, marks: f64, drag: Option<u32>) -> Action {
        let to = self.tape.round(from + self.tape.mark() * marks);
        self.write(&self.tape.print(to), drag)
    }

    /// What it reads on the tape that is shown, where the job is typed in the other unit.
    fn on_other_tape(&self) -> Option<String> {
        (self.tape.unit() != self.unit).then(|| self.tape.print(self.value))
    }

    /// The edit that moves by so many marks.
    pub(super) fn marks(&self, marks: f64) -> Action {
        self.marks_from(self.value, marks, None)
    }
}

/// The field: minus, text, plus, and the tape under them.
pub(super) fn tape_field(ui: &mut Ui, field: &LenField) -> Option<Action> {
    let id = ui.id().with(&field.path);
    let mut asked = None;
    ui.horizontal(|ui| {
        let mark = field.tape.print(field.tape.mark());
        if ui
            .button("-")
            .on_hover_text(format!("{mark} less"))
            .clicked()
        {
            asked = Some(field.marks(-1.0));
        }
        if let Some(text) = typed(ui, id, field) {
            asked = Some(field.write(&text, None));
        }
        if ui
            .button("+")
            .on_hover_text(format!("{mark} more"))
            .clicked()
        {
            asked = Some(field.marks(1.0));
        }
        if let Some(other) = field.on_other_tape() {
            super::quiet(ui, &other);
        }
    });
    if let Some(problem) = ui.data(|data| data.get_temp::<String>(id.with("wrong"))) {
        ui.label(
            egui::RichText::new(problem)
                .size(12.0)
                .color(ink(look::CRAYON)),
        );
    }
    pulled(ui, id, field).or(asked)
}

/// The text field. Its text becomes an edit on Enter or when it is left.
fn typed(ui: &mut Ui, id: Id, field: &LenField) -> Option<String> {
    let editing = id.with("text");
    let kept = ui.data(|data| data.get_temp::<String>(editing));
    let mut text = kept.unwrap_or_else(|| field.text.clone());
    let edit = egui::TextEdit::singleline(&mut text)
        .id(editing.with("edit"))
        .desired_width(110.0);
    let response = ui.add(edit);
    if response.has_focus() || response.changed() {
        ui.data_mut(|data| data.insert_temp(editing, text.clone()));
    }
    if !response.lost_focus() {
        return None;
    }
    ui.data_mut(|data| data.remove::<String>(editing));
    if text == field.text {
        ui.data_mut(|data| data.remove::<String>(id.with("wrong")));
        return None;
    }
    match parse_length(&text, field.unit) {
        Ok(_) => {
            ui.data_mut(|data| data.remove::<String>(id.with("wrong")));
            Some(text)
        }
        Err(problem) => {
            ui.data_mut(|data| data.insert_temp(id.with("wrong"), problem.to_string()));
            None
        }
    }
}

/// Where a pull began.
#[derive(Clone, Copy)]
struct Pull {
    number: u32,
    from: Length,
    points: f32,
}

/// The tape that one pulls: it slides under a fixed pointer.
fn pulled(ui: &mut Ui, id: Id, field: &LenField) -> Option<Action> {
    let size = vec2(ui.available_width().min(TAPE_WIDTH), TAPE_HEIGHT);
    let (rect, response) = ui.allocate_exact_size(size, Sense::drag());
    draw_tape(ui, rect, field);
    let response = response.on_hover_cursor(egui::CursorIcon::ResizeHorizontal);
    let pulling = id.with("pull");
    if response.drag_started() {
        let count = id.with("count");
        let number = ui
            .data(|data| data.get_temp::<u32>(count))
            .unwrap_or(0)
            .wrapping_add(1);
        let pull = Pull {
            number,
            from: field.value,
            points: 0.0,
        };
        ui.data_mut(|data| data.insert_temp(count, number));
        ui.data_mut(|data| data.insert_temp(pulling, pull));
    }
    if !response.dragged() {
        return None;
    }
    let mut pull = ui.data(|data| data.get_temp::<Pull>(pulling))?;
    pull.points += response.drag_delta().x;
    ui.data_mut(|data| data.insert_temp(pulling, pull));
    // Pulling the tape to the left brings larger numbers under the pointer.
    let marks = f64::from(-pull.points / MARK_POINTS).round();
    let to = field.tape.round(pull.from + field.tape.mark() * marks);
    let moved = (to - field.value).abs() > field.tape.mark() / 2.0;
    // Each field's pulls are told apart by its own id as well as by their number.
    let drag = (id.value() as u32)
        .wrapping_mul(31)
        .wrapping_add(pull.number);
    moved.then(|| field.marks_from(pull.from, marks, Some(drag)))
}

/// Draws the tape around the value.
fn draw_tape(ui: &Ui, rect: Rect, field: &LenField) {
    let painter = ui.painter().with_clip_rect(rect);
    painter.rect_filled(rect, 2.0, ink(look::TAPE));
    let mark = field.tape.mark();
    let at = field.value / mark;
    let half = (rect.width() / 2.0 / MARK_POINTS).ceil() as i64 + 1;
    let pencil = ink(look::PENCIL);
    for number in at.round() as i64 - half..=at.round() as i64 + half {
        let x = rect.center().x + convert::single(number as f64 - at) * MARK_POINTS;
        let (length, label) = rank(number, field.tape);
        let y = rect.top()..=rect.top() + length * rect.height();
        painter.vline(x, y, Stroke::new(1.0, pencil));
        if label {
            let text = field.tape.print(mark * number as f64);
            let text = text
                .trim_end_matches(['"'])
                .trim_end_matches(" mm")
                .to_owned();
            let place = Pos2::new(x + 3.0, rect.bottom() - 1.0);
            painter.text(
                place,
                Align2::LEFT_BOTTOM,
                text,
                FontId::proportional(12.0),
                pencil,
            );
        }
    }
    let x = rect.center().x;
    let red = Stroke::new(2.0, ink(look::CRAYON));
    painter.vline(x, rect.y_range(), red);
    let edge = Stroke::new(1.0, ink(look::PENCIL_LIGHT));
    ui.painter()
        .rect_stroke(rect, 2.0, edge, egui::StrokeKind::Inside);
}

/// How long a mark is drawn, as a share of the tape's height, and whether it is numbered.
fn rank(number: i64, tape: Tape) -> (f32, bool) {
    let divides = |by: i64| number.rem_euclid(by) == 0;
    let per_inch = match tape {
        Tape::Millimetres if divides(10) => return (0.62, true),
        Tape::Millimetres if divides(5) => return (0.45, false),
        Tape::Millimetres => return (0.26, false),
        Tape::Sixteenths => 16,
        Tape::ThirtySeconds => 32,
    };
    match () {
        () if divides(per_inch) => (0.72, true),
        () if divides(per_inch / 2) => (0.54, false),
        () if divides(per_inch / 4) => (0.42, false),
        () if divides(per_inch / 8) => (0.32, false),
        () => (0.22, false),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn field(text: &str) -> LenField {
        LenField {
            path: "design.newels[0].stands.Displaces.move_by".to_owned(),
            text: text.to_owned(),
            value: parse_length(text, Unit::Inches).unwrap(),
            tape: Tape::Sixteenths,
            unit: Unit::Inches,
        }
    }

    fn value(action: &Action) -> (&str, &str) {
        match action {
            Action::Edit { path, value, .. } => (path, value),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn a_step_is_one_mark_of_the_tape() {
        let up = field("3/8").marks(1.0);
        assert_eq!(value(&up).0, "design.newels[0].stands.Displaces.move_by");
        assert_eq!(value(&up).1, r#""7/16\"""#);
        assert_eq!(value(&field("0").marks(-1.0)).1, r#""-1/16\"""#);
    }

    #[test]
    fn the_other_unit_stands_beside_what_is_typed() {
        // 3/8 in is 9.525 mm: 10 mm, scant by more than a quarter of one.
        let mut field = field("3/8");
        assert_eq!(field.on_other_tape(), None);
        field.tape = Tape::Millimetres;
        assert_eq!(field.on_other_tape().as_deref(), Some("10 mm-"));
        assert_eq!(value(&field.marks(1.0)).1, r#""11 mm""#);
    }

    #[test]
    fn a_step_from_between_marks_lands_on_a_mark() {
        assert_eq!(value(&field("0.4").marks(1.0)).1, r#""7/16\"""#);
    }

    #[test]
    fn what_is_written_reads_back_the_same() {
        for text in ["7/16\"", "3' 2 1/2\"", "a\\b"] {
            let back: String = ron::from_str(&quoted(text)).unwrap();
            assert_eq!(back, text);
        }
    }

    #[test]
    fn whole_inches_are_numbered() {
        assert!(rank(-16, Tape::Sixteenths).1 && rank(0, Tape::Sixteenths).1);
        assert!(!rank(8, Tape::Sixteenths).1 && rank(30, Tape::Millimetres).1);
    }
}
