//! The place that says how sure the stair is: draws it, and tells what may fail and how likely; and
//! what a small error on each step comes to.

mod chart;
mod head;
mod list;
mod rows;

use bevy_egui::egui::{self, Ui};

use super::super::Showing;
use super::super::compounding::Compound;
use super::super::session::{Action, Session};
use super::super::sure::{Standing, Sure};
use super::place_head;
use chart::{ChartView, chart_ui, tabs_ui};
use head::{drawing_ui, fan_ui};
use list::told_ui;
use rows::{Told, told};

pub(in crate::viewer) use rows::Odds;

/// Width of the panel, points.
const WIDTH: f32 = 430.0;

/// The same with what it shows.
pub(super) fn width(view: &SureView) -> f32 {
    view.chart.as_ref().map_or(WIDTH, |_| chart::WIDTH)
}

/// What the panel shows.
pub(super) struct SureView {
    standing: Standing,
    most: u64,
    refused: Option<&'static str>,
    told: Option<Told>,
    fan: bool,
    stretch: f64,
    /// The chart of small errors, where it stands instead of the odds.
    chart: Option<ChartView>,
}

/// Gathers what the panel shows.
pub(super) fn view(
    sure: &Sure,
    session: &Session,
    showing: &Showing,
    chart: &Compound,
) -> SureView {
    let drawn = sure.drawn(session);
    SureView {
        standing: sure.standing(),
        most: sure.most(),
        refused: sure.refused,
        told: drawn.map(|(drawn, current)| {
            let tape = drawn.found.runs.first().map(|run| run.run.job.tape);
            let tape = tape.unwrap_or(session.document.job().tape);
            told(drawn, current, showing, tape)
        }),
        fan: showing.fan,
        stretch: showing.stretch,
        chart: chart::view(chart, session.document.job().tape),
    }
}

/// The panel.
pub(super) fn sure_ui(ui: &mut Ui, view: &SureView) -> Vec<Action> {
    let mut asked = Vec::from_iter(place_head(ui, "How sure"));
    asked.extend(tabs_ui(ui, view.chart.is_some()));
    if let Some(chart) = &view.chart {
        asked.extend(chart_ui(ui, chart));
        return asked;
    }
    asked.extend(drawing_ui(ui, view));
    let Some(told) = &view.told else {
        return asked;
    };
    ui.add_space(4.0);
    egui::ScrollArea::vertical().id_salt("sure").show(ui, |ui| {
        ui.set_width(ui.available_width());
        if told.stale {
            // Its parts need not be there any more, so nothing of it can be picked.
            ui.set_opacity(0.5);
            let _gone = told_ui(ui, told);
        } else {
            if told.whole.is_some() {
                asked.extend(fan_ui(ui, view));
            }
            asked.extend(told_ui(ui, told));
        }
    });
    asked
}

#[cfg(test)]
mod tests;
