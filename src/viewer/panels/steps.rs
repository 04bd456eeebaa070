//! What was done, step by step under its names, to go back to any of it and forth again.

use bevy::prelude::{
    App, DetectChangesMut as _, IntoScheduleConfigs as _, MessageReader, MessageWriter, Res,
    ResMut, Resource, Update,
};
use bevy_egui::egui::{self, Align2, Frame, Margin, RichText, Stroke, Ui, vec2};
use bevy_egui::{EguiContexts, EguiPrimaryContextPass};

use super::super::ViewerSystems;
use super::super::acts::Act;
use super::super::acts::chord::{Stroke as Key, plain, typed};
use super::super::flags::FreeRect;
use super::super::look::{self, ink};
use super::super::session::{Action, Session};

/// Width of the list, points.
const WIDTH: f32 = 330.0;
/// Height of one of its lines.
const LINE: f32 = 22.0;
/// So many lines are shown at a time.
const LINES: f32 = 14.0;

/// The list is open.
#[derive(Resource, Clone, Copy, Default, PartialEq, Eq)]
pub(in crate::viewer) struct Listed(pub(in crate::viewer) bool);

/// Opens the list, or closes it.
fn apply(mut actions: MessageReader<Action>, mut listed: ResMut<Listed>) {
    for action in actions.read() {
        if let Action::List(open) = action {
            listed.set_if_neq(Listed(*open));
        }
    }
}

/// What keys do with the list.
pub(in crate::viewer) const DONE: &[Act] = &[
    Act::new(
        typed('z'),
        "list what was done, or close the list",
        "history steps undo back",
        |knows| Some(Action::List(!knows.listed.0)),
    ),
    Act::new(
        plain(Key::Escape),
        "close the list of what was done",
        "history",
        |knows| knows.listed.0.then_some(Action::List(false)),
    ),
];

/// A line of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Line<'a> {
    /// So many edits are made there.
    done: usize,
    name: &'a str,
    /// It is where the job stands.
    here: bool,
    /// It was taken back.
    ahead: bool,
}

/// A line of the list by its number; the first is the job as it was opened.
fn line(session: &Session, done: usize) -> Option<Line<'_>> {
    let history = session.history();
    let name = match done.checked_sub(1) {
        None => "as it was opened",
        Some(step) => history.name(step)?,
    };
    Some(Line {
        done,
        name,
        here: done == history.done(),
        ahead: done > history.done(),
    })
}

fn draw(
    mut contexts: EguiContexts,
    listed: Res<Listed>,
    session: Res<Session>,
    free: Option<Res<FreeRect>>,
    mut actions: MessageWriter<Action>,
) -> bevy::prelude::Result {
    let ctx = contexts.ctx_mut()?;
    if !listed.0 {
        return Ok(());
    }
    let free = free.map_or(ctx.content_rect(), |free| free.0);
    let area = egui::Area::new("steps".into())
        .order(egui::Order::Foreground)
        .pivot(Align2::LEFT_TOP)
        .fixed_pos(free.left_top() + vec2(10.0, 10.0))
        .fade_in(false);
    let frame = Frame::new()
        .fill(ink(look::CARD))
        .stroke(Stroke::new(1.0, ink(look::PENCIL_SOFT)))
        .inner_margin(Margin::symmetric(12, 9));
    let shown = area.show(ctx, |ui| {
        frame.show(ui, |ui| {
            ui.set_width(WIDTH);
            list(ui, &session)
        })
    });
    actions.write_batch(shown.inner.inner);
    Ok(())
}

fn list(ui: &mut Ui, session: &Session) -> Vec<Action> {
    let mut asked = Vec::new();
    ui.horizontal(|ui| {
        ui.label(RichText::new("What was done").size(15.0).strong());
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            if ui.button("Close").on_hover_text("key Z").clicked() {
                asked.push(Action::List(false));
            }
        });
    });
    super::quiet(ui, "a click goes back to it, or forth again");
    ui.add_space(4.0);
    let history = session.history();
    let count = history.len() + 1;
    // The last edit comes into sight by itself.
    let moved = ui.id().with("stood");
    let stood = ui.data(|data| data.get_temp::<(usize, usize)>(moved));
    let stands = (history.done(), count);
    let mut scroll = egui::ScrollArea::vertical()
        .id_salt("steps")
        .max_height(LINE * LINES)
        .auto_shrink([false, true]);
    if stood != Some(stands) {
        ui.data_mut(|data| data.insert_temp(moved, stands));
        let to = (super::super::convert::count(history.done()) - LINES / 2.0) * (LINE + 6.0);
        scroll = scroll.vertical_scroll_offset(to.max(0.0));
    }
    scroll.show_rows(ui, LINE, count, |ui, rows| {
        for done in rows {
            let Some(line) = line(session, done) else {
                continue;
            };
            if row(ui, &line).clicked() && !line.here {
                asked.push(Action::Step(line.done));
            }
        }
    });
    asked
}

fn row(ui: &mut Ui, line: &Line) -> egui::Response {
    let colour = if line.ahead {
        look::PENCIL_LIGHT
    } else {
        look::PENCIL
    };
    let back = if line.ahead { "   (taken back)" } else { "" };
    let mut text = RichText::new(format!("{}   {}{back}", line.done, line.name))
        .size(13.0)
        .color(ink(colour));
    if line.here {
        text = text.strong();
    }
    let label = egui::Button::selectable(line.here, text)
        .truncate()
        .min_size(vec2(ui.available_width(), LINE));
    ui.add(label)
}

pub(in crate::viewer) fn plugin(app: &mut App) {
    app.init_resource::<Listed>()
        .add_systems(Update, apply.in_set(ViewerSystems::Edit))
        .add_systems(EguiPrimaryContextPass, draw.after(super::draw));
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Document;
    use crate::viewer::session::Change;

    #[test]
    fn the_list_begins_with_the_job_as_it_was_opened_and_tells_where_it_stands() {
        let text = include_str!("../../../demo-scenes/quarry-lane.ron");
        let mut session = Session::new(Document::parse(text, "test.ron").unwrap(), None);
        for height in ["37", "38"] {
            let value = format!("\"{height}\"");
            let change = Change::Set(vec![("design.rail.height".to_owned(), value)]);
            session.edit(&change, None);
        }
        session.undo();
        let lines: Vec<Line> = (0..=2).filter_map(|done| line(&session, done)).collect();
        let told: Vec<(&str, bool, bool)> = lines
            .iter()
            .map(|line| (line.name, line.here, line.ahead))
            .collect();
        assert_eq!(
            told,
            [
                ("as it was opened", false, false),
                ("rail R1 1\" higher", true, false),
                ("rail R1 1\" higher", false, true),
            ]
        );
        assert_eq!(line(&session, 3), None);
    }
}
