//! The site sheets: which there are, on what paper, and each as it will be printed, over the picture.

use std::sync::Arc;

use bevy_egui::egui::{
    self, Color32, ColorImage, Context, Id, Key, Order, Pos2, Rect, RichText, ScrollArea, Sense,
    Stroke, StrokeKind, TextureHandle, TextureOptions, Ui, Vec2, vec2,
};

use crate::job::Job;
use crate::publish::paper::{PAPERS, PaperSize};

use super::super::convert::{count, single};
use super::super::look::{self, ink};
use super::super::session::Action;
use super::super::sheets::{Ask, Painted, Sheets};
use super::{comes_to, place_head, quiet};

/// Width of the panel, points.
pub(super) const WIDTH: f32 = 318.0;
/// White round the sheet, points.
const ROUND: f32 = 14.0;
/// How many times as large as a whole one a sheet is shown to be read.
const NEAR: f32 = 2.4;

/// One sheet in the list.
struct Line {
    title: String,
    scale: String,
}

/// What is shown.
pub(super) struct SheetsView {
    lines: Vec<Line>,
    at: usize,
    near: bool,
    paper: PaperSize,
    busy: bool,
    writes: bool,
    refused: Option<String>,
    painted: Option<Arc<Painted>>,
    /// Width and height of the page that is looked at, mm.
    page: Option<(f64, f64)>,
    wide: u32,
}

/// Gathers it.
pub(super) fn view(sheets: &Sheets, job: &Job) -> SheetsView {
    let laid = sheets.laid();
    let made = laid.and_then(|laid| laid.as_ref().ok());
    let lines = made.map_or(&[][..], |made| &made.sheets);
    SheetsView {
        lines: lines
            .iter()
            .map(|sheet| Line {
                title: sheet.title.clone(),
                scale: sheet.scale.clone(),
            })
            .collect(),
        at: sheets.at,
        near: sheets.near,
        paper: sheets.paper(job),
        busy: sheets.busy(),
        writes: sheets.writes(),
        refused: laid.and_then(|laid| laid.as_ref().err().cloned()),
        painted: sheets.painted().cloned(),
        page: made.and_then(|made| {
            let page = made.pages.get(sheets.at)?;
            Some((page.width, page.height))
        }),
        wide: sheets.wide(),
    }
}

/// The panel.
pub(super) fn sheets_ui(ui: &mut Ui, view: &SheetsView) -> Vec<Action> {
    let mut asked = Vec::from_iter(place_head(ui, "Site sheets"));
    asked.extend(paper_ui(ui, view));
    ui.horizontal(|ui| {
        let can = !view.busy && !view.writes && !view.lines.is_empty();
        let write = ui.add_enabled(can, egui::Button::new("Write them"));
        let says =
            "one PDF, a table of each list and each drawing, in a folder beside the job: Enter";
        if write.on_hover_text(says).clicked() {
            asked.push(Action::Sheets(Ask::Write));
        }
        let near = ui.selectable_label(view.near, "Read close");
        if near.on_hover_text("key =").clicked() {
            asked.push(Action::Sheets(Ask::Near(!view.near)));
        }
    });
    if view.writes {
        quiet(ui, "writing ...");
    } else if view.busy {
        quiet(ui, "laying them out ...");
    }
    if let Some(why) = &view.refused {
        let text = RichText::new(why).size(12.5).color(ink(look::CRAYON));
        ui.add(egui::Label::new(text).wrap());
    }
    ui.add_space(4.0);
    ScrollArea::vertical()
        .id_salt("sheets")
        .auto_shrink(false)
        .show(ui, |ui| {
            for (at, line) in view.lines.iter().enumerate() {
                asked.extend(line_ui(ui, view, at, line));
            }
        });
    asked
}

fn line_ui(ui: &mut Ui, view: &SheetsView, at: usize, line: &Line) -> Option<Action> {
    let open = at == view.at;
    let text = format!("{}  {}", at + 1, line.title);
    let label = ui.selectable_label(open, RichText::new(text).size(13.0));
    if open && comes_to(ui, "sheets", label.id.with(at)) {
        label.scroll_to_me(None);
    }
    let label = if line.scale.is_empty() {
        label
    } else {
        label.on_hover_text(line.scale.as_str())
    };
    label.clicked().then_some(Action::Sheets(Ask::To(at)))
}

fn paper_ui(ui: &mut Ui, view: &SheetsView) -> Option<Action> {
    let mut asked = None;
    ui.horizontal(|ui| {
        ui.label(RichText::new("paper").size(13.5));
        egui::ComboBox::from_id_salt("paper")
            .selected_text(view.paper.to_string())
            .show_ui(ui, |ui| {
                for paper in PAPERS {
                    let open = paper == view.paper;
                    if ui.selectable_label(open, paper.name).clicked() {
                        asked = Some(Action::Sheets(Ask::On(paper)));
                    }
                }
            });
    });
    asked
}

/// The sheet itself, over the picture.
pub(super) fn page_ui(ctx: &Context, free: Rect, view: &SheetsView) -> Vec<Action> {
    let mut asked = Vec::new();
    let area = egui::Area::new(Id::new("sheet"))
        .order(Order::Middle)
        .fixed_pos(free.min)
        .constrain(false)
        .fade_in(false);
    area.show(ctx, |ui| {
        let (room, _) = ui.allocate_exact_size(free.size(), Sense::click_and_drag());
        ui.painter().rect_filled(room, 0.0, ink(look::PAPER));
        let Some(page) = view.page else {
            return;
        };
        let size = shown(room.size(), page, view.near);
        let pixels = (size.x * ctx.pixels_per_point()).round().max(1.0) as u32;
        if pixels != view.wide {
            asked.push(Action::Sheets(Ask::Wide(pixels)));
        }
        let inside = ui.new_child(egui::UiBuilder::new().max_rect(room));
        scrolled(inside, room, size, view);
    });
    asked
}

/// The size at which a page is shown, points.
fn shown(room: Vec2, (width, height): (f64, f64), near: bool) -> Vec2 {
    let page = vec2(single(width), single(height)).max(vec2(1.0, 1.0));
    let clear = (room - Vec2::splat(2.0 * ROUND)).max(vec2(40.0, 40.0));
    let whole = (clear.x / page.x).min(clear.y / page.y);
    page * if near { whole * NEAR } else { whole }
}

fn scrolled(mut ui: Ui, room: Rect, size: Vec2, view: &SheetsView) {
    let around = (size + Vec2::splat(2.0 * ROUND)).max(room.size());
    let mut scroll = ScrollArea::both().id_salt(("sheet", view.at));
    // Arrows move a sheet that is larger than its room.
    let by = |key: Key| ui.input(|input| f32::from(u8::from(input.key_pressed(key))));
    let step = vec2(
        by(Key::ArrowRight) - by(Key::ArrowLeft),
        by(Key::ArrowDown) - by(Key::ArrowUp),
    ) * 80.0;
    if view.near && step != Vec2::ZERO {
        let kept = Id::new("sheet pushed");
        let pushed: Vec2 = ui.data(|data| data.get_temp(kept)).unwrap_or_default();
        scroll = scroll.scroll_offset((pushed + step).max(Vec2::ZERO));
    }
    let out = scroll.show(&mut ui, |ui| {
        let (whole, _) = ui.allocate_exact_size(around, Sense::hover());
        let sheet = Rect::from_center_size(whole.center(), size);
        let painter = ui.painter();
        painter.rect_filled(
            sheet.translate(vec2(3.0, 3.0)),
            0.0,
            ink(look::PENCIL_FAINT),
        );
        painter.rect_filled(sheet, 0.0, Color32::WHITE);
        if let Some(painted) = &view.painted {
            let whole = Rect::from_min_max(Pos2::ZERO, Pos2::new(1.0, 1.0));
            for (share, texture) in tiles(ui.ctx(), painted).iter() {
                let at = Rect::from_min_max(
                    sheet.min + share.min.to_vec2() * sheet.size(),
                    sheet.min + share.max.to_vec2() * sheet.size(),
                );
                painter.image(texture.id(), at, whole, Color32::WHITE);
            }
        }
        let edge = Stroke::new(1.0, ink(look::PENCIL_FAINT));
        painter.rect_stroke(sheet, 0.0, edge, StrokeKind::Outside);
    });
    ui.data_mut(|data| data.insert_temp(Id::new("sheet pushed"), out.state.offset));
}

/// A page on the graphics card, in tiles: what each covers of it, from 0 to 1.
type Tiles = Arc<Vec<(Rect, TextureHandle)>>;

/// No card takes less than this on a side, in pixels.
const TILE: usize = 1024;

/// The page on the graphics card: handed over once.
fn tiles(ctx: &Context, painted: &Arc<Painted>) -> Tiles {
    let kept = Id::new("sheet painted");
    let there: Option<(Arc<Painted>, Tiles)> = ctx.data(|data| data.get_temp(kept));
    if let Some((_, tiles)) = there.filter(|(of, _)| Arc::ptr_eq(of, painted)) {
        return tiles;
    }
    let tiles = cut(painted).into_iter().map(|(share, image)| {
        let texture = ctx.load_texture("sheet", image, TextureOptions::LINEAR);
        (share, texture)
    });
    let tiles: Tiles = Arc::new(tiles.collect());
    ctx.data_mut(|data| data.insert_temp(kept, (painted.clone(), tiles.clone())));
    tiles
}

/// A picture cut into tiles, each with what it covers.
fn cut(painted: &Painted) -> Vec<(Rect, ColorImage)> {
    let [wide, tall] = painted.size;
    let share = |x: usize, y: usize| {
        let part = |at: usize, of: usize| count(at) / count(of);
        Pos2::new(part(x, wide), part(y, tall))
    };
    let mut tiles = Vec::new();
    for top in (0..tall).step_by(TILE) {
        let bottom = (top + TILE).min(tall);
        for left in (0..wide).step_by(TILE) {
            let right = (left + TILE).min(wide);
            let lines = (top..bottom).flat_map(|line| {
                let first = (line * wide + left) * 4;
                &painted.pixels[first..first + (right - left) * 4]
            });
            let pixels: Vec<u8> = lines.copied().collect();
            let size = [right - left, bottom - top];
            let image = ColorImage::from_rgba_premultiplied(size, &pixels);
            let covers = Rect::from_min_max(share(left, top), share(right, bottom));
            tiles.push((covers, image));
        }
    }
    tiles
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tiles_cover_a_page_once_and_none_is_too_large_for_a_card() {
        let painted = Painted {
            size: [2500, 1100],
            pixels: (0..2500 * 1100 * 4)
                .map(|at| (at / 4 % 251) as u8)
                .collect(),
        };
        let tiles = cut(&painted);
        assert_eq!(tiles.len(), 6);
        let area: f32 = tiles.iter().map(|(covers, _)| covers.area()).sum();
        assert!((area - 1.0).abs() < 1e-4, "{area}");
        let pixels: usize = tiles.iter().map(|(_, image)| image.pixels.len()).sum();
        assert_eq!(pixels, 2500 * 1100);
        let whole = tiles
            .iter()
            .all(|(_, image)| image.size.iter().all(|side| *side <= TILE));
        assert!(whole);
        // The pixel right and down of the first tile's corner.
        let (_, last) = &tiles[4];
        let at = 1024 * 2500 + 1024;
        assert_eq!(usize::from(last.pixels[0].r()), at % 251);
    }

    #[test]
    fn a_sheet_keeps_its_shape_and_to_its_room() {
        let room = vec2(800.0, 600.0);
        let whole = shown(room, (279.4, 215.9), false);
        assert!((whole.x / whole.y - 279.4 / 215.9).abs() < 1e-4);
        assert!(whole.x <= room.x - 2.0 * ROUND + 1e-3 && whole.y <= room.y - 2.0 * ROUND + 1e-3);
        let near = shown(room, (279.4, 215.9), true);
        assert!((near.x - NEAR * whole.x).abs() < 1e-2);
        assert!(shown(Vec2::ZERO, (0.0, 0.0), false).is_finite());
    }
}
