//! The looks: which is shown, and what each part is finished with in it.

use bevy_egui::egui::{self, RichText, Sense, Ui, vec2};

use crate::job::{Colour, Finish, Finished, Light, Look, Metal, Sheen};
use crate::publish::finish::{Stuff, finish_of, surface};

use super::super::super::Mood;
use super::super::super::client::{Ask, Dressing, PAINTS, STAINS, Toned, timbers, tone_name};
use super::super::super::look::{self, ink};
use super::super::super::session::Action;
use super::super::soft;
use super::ClientView;

/// Side of a swatch, points.
const SWATCH: f32 = 12.0;
/// Width of what stands before a choice, points.
const BEFORE: f32 = 104.0;
/// Width of a choice, points.
const CHOICE: f32 = 150.0;

/// The looks, and the one that is shown in full.
pub(super) fn looks_ui(ui: &mut Ui, view: &ClientView) -> Vec<Action> {
    let mut asked = Vec::new();
    for (at, one) in view.looks.iter().enumerate() {
        let shown = view.finished && at == view.at;
        let line = ui.horizontal(|ui| {
            offcuts(ui, one, view);
            ui.selectable_label(shown, &one.name)
        });
        if line.inner.clicked() {
            asked.push(Action::Dress(at));
            if !view.finished {
                asked.push(Action::Mood(Mood::Show));
            }
        }
    }
    if !view.finished {
        soft(
            ui,
            "Choose one to see the stair finished, and to change it.",
        );
        return asked;
    }
    let Some(shown) = view.looks.get(view.at) else {
        return asked;
    };
    let dress = |dressing| Action::Client(Ask::Dress(shown.name.clone(), dressing));
    ui.horizontal(|ui| {
        let more = ui.button("Another like it");
        if more.clicked() {
            asked.push(dress(Dressing::Another));
        }
        let can = view.looks.len() > 1;
        if ui
            .add_enabled(can, egui::Button::new("Take it out"))
            .clicked()
        {
            asked.push(dress(Dressing::Without));
        }
        if ui.button("Measured again").on_hover_text("key M").clicked() {
            asked.push(Action::Mood(Mood::Work));
        }
    });
    ui.add_space(4.0);
    asked.extend(name_ui(ui, shown).map(dress));
    asked.extend(parts_ui(ui, shown, &view.has).map(dress));
    asked.extend(room_ui(ui, shown).map(dress));
    asked
}

/// A look's offcuts, one for each sort of parts that the stair has, as they hang beside its name.
fn offcuts(ui: &mut Ui, look: &Look, view: &ClientView) {
    ui.spacing_mut().item_spacing.x = 3.0;
    for part in &view.has {
        let (rect, _) = ui.allocate_exact_size(vec2(SWATCH, 18.0), Sense::hover());
        let of = surface(look, Stuff::Of(*part), view.wood.as_ref());
        let Colour([red, green, blue]) = of.colour;
        let painter = ui.painter();
        painter.rect_filled(rect, 1.0, egui::Color32::from_rgb(red, green, blue));
        let edge = egui::Stroke::new(1.0, ink(look::PENCIL_FAINT));
        painter.rect_stroke(rect, 1.0, edge, egui::StrokeKind::Inside);
    }
    ui.add_space(5.0);
}

/// What it is called: taken when the field is left or Enter is pressed.
fn name_ui(ui: &mut Ui, shown: &Look) -> Option<Dressing> {
    let id = egui::Id::new(("look called", &shown.name));
    let mut typed = ui
        .data(|data| data.get_temp::<String>(id))
        .unwrap_or_else(|| shown.name.clone());
    let field = before(ui, "called", |ui| {
        let field = egui::TextEdit::singleline(&mut typed).id(id.with("field"));
        ui.add(field.desired_width(CHOICE + 60.0))
    });
    let done = field.lost_focus();
    let new = typed.trim();
    if done {
        ui.data_mut(|data| data.remove::<String>(id));
        return (!new.is_empty() && new != shown.name).then(|| Dressing::Called(new.to_owned()));
    }
    ui.data_mut(|data| data.insert_temp(id, typed));
    None
}

/// A line with a word before it.
fn before<R>(ui: &mut Ui, word: &str, content: impl FnOnce(&mut Ui) -> R) -> R {
    let line = ui.horizontal(|ui| {
        let text = RichText::new(word).size(13.0).color(ink(look::PENCIL));
        let left = egui::Layout::left_to_right(egui::Align::Center);
        ui.allocate_ui_with_layout(vec2(BEFORE, 20.0), left, |ui| {
            ui.set_min_width(BEFORE);
            ui.add(egui::Label::new(text).truncate());
        });
        content(ui)
    });
    line.inner
}

/// What is offered for some parts, each as it is called.
fn offered() -> Vec<(String, Option<Colour>, Finish)> {
    let timber = |name: &str| Finish::Timber {
        species: Some(name.to_owned()),
        stain: None,
        sheen: Sheen::default(),
    };
    let paint = |colour| Finish::Paint {
        colour,
        sheen: Sheen::default(),
    };
    let own = Finish::Timber {
        species: None,
        stain: None,
        sheen: Sheen::default(),
    };
    let mut all = vec![("the stair's own timber".to_owned(), None, own)];
    all.extend(timbers().map(|name| (name.to_owned(), None, timber(name))));
    let painted = PAINTS
        .iter()
        .map(|(name, colour)| (format!("painted {name}"), Some(*colour), paint(*colour)));
    all.extend(painted);
    let metals = [Metal::Blacked, Metal::Steel, Metal::Brass, Metal::Bronze];
    all.extend(metals.map(|metal| (metal.words().to_owned(), None, Finish::Metal(metal))));
    all
}

/// What a finish is called in its choice.
fn called(finish: Option<&Finish>) -> String {
    match finish {
        None => "as is usual".to_owned(),
        Some(Finish::Timber { species, .. }) => species
            .clone()
            .unwrap_or_else(|| "the stair's own timber".to_owned()),
        Some(Finish::Paint { colour, .. }) => format!("painted {}", tone_name(&PAINTS, *colour)),
        Some(Finish::Metal(metal)) => metal.words().to_owned(),
    }
}

/// The finish of each sort of parts that the stair has.
fn parts_ui(ui: &mut Ui, shown: &Look, has: &[Finished]) -> Option<Dressing> {
    let mut asked = None;
    for part in has {
        let finish = finish_of(shown, *part);
        let chosen = finish_ui(ui, part.words(), finish);
        if let Some(chosen) = chosen {
            asked = Some(Dressing::Of(*part, chosen));
        }
    }
    asked
}

/// A choice of a finish, with what else there is to it beneath: gives what was chosen.
fn finish_ui(ui: &mut Ui, word: &str, finish: Option<&Finish>) -> Option<Option<Finish>> {
    let mut chosen = None;
    before(ui, word, |ui| {
        let now = called(finish);
        egui::ComboBox::from_id_salt(("finish", word))
            .width(CHOICE + 60.0)
            .height(360.0)
            .selected_text(&now)
            .show_ui(ui, |ui| {
                if ui
                    .selectable_label(finish.is_none(), "as is usual")
                    .clicked()
                {
                    chosen = Some(None);
                }
                for (name, colour, offer) in offered() {
                    if toned(ui, name == now, &name, colour).clicked() {
                        chosen = Some(Some(keeping(offer, finish)));
                    }
                }
            });
    });
    let further = finish.and_then(|finish| further_ui(ui, word, finish));
    chosen.or(further.map(Some))
}

/// A choice keeps the sheen of what was there.
fn keeping(offer: Finish, was: Option<&Finish>) -> Finish {
    let shines = match was {
        Some(Finish::Timber { sheen, .. } | Finish::Paint { sheen, .. }) => *sheen,
        _ => return offer,
    };
    match offer {
        Finish::Timber { species, stain, .. } => Finish::Timber {
            species,
            stain,
            sheen: shines,
        },
        Finish::Paint { colour, .. } => Finish::Paint {
            colour,
            sheen: shines,
        },
        metal @ Finish::Metal(_) => metal,
    }
}

/// One line of a choice, with its tone before it.
fn toned(ui: &mut Ui, is_so: bool, name: &str, colour: Option<Colour>) -> egui::Response {
    ui.horizontal(|ui| {
        if let Some(Colour([red, green, blue])) = colour {
            let (rect, _) = ui.allocate_exact_size(vec2(SWATCH, SWATCH), Sense::hover());
            let painter = ui.painter();
            painter.rect_filled(rect, 2.0, egui::Color32::from_rgb(red, green, blue));
            let edge = egui::Stroke::new(1.0, ink(look::PENCIL_FAINT));
            painter.rect_stroke(rect, 2.0, edge, egui::StrokeKind::Inside);
        }
        ui.selectable_label(is_so, name)
    })
    .inner
}

/// Stain and sheen of a finish.
fn further_ui(ui: &mut Ui, salt: &str, finish: &Finish) -> Option<Finish> {
    let (is_timber, sheen, stain) = match finish {
        Finish::Timber { sheen, stain, .. } => (true, *sheen, *stain),
        Finish::Paint { sheen, .. } => (false, *sheen, None),
        Finish::Metal(_) => return None,
    };
    let mut chosen = None;
    before(ui, "", |ui| {
        if is_timber {
            let now =
                stain.map_or_else(|| "no stain".to_owned(), |stain| tone_name(&STAINS, stain));
            egui::ComboBox::from_id_salt(("stain", salt))
                .width(CHOICE - 30.0)
                .selected_text(now)
                .show_ui(ui, |ui| {
                    if ui.selectable_label(stain.is_none(), "no stain").clicked() {
                        chosen = Some((None, sheen));
                    }
                    for (name, colour) in STAINS {
                        if toned(ui, stain == Some(colour), name, Some(colour)).clicked() {
                            chosen = Some((Some(colour), sheen));
                        }
                    }
                });
        }
        egui::ComboBox::from_id_salt(("sheen", salt))
            .width(70.0)
            .selected_text(sheen.word())
            .show_ui(ui, |ui| {
                for other in [Sheen::Matt, Sheen::Satin, Sheen::Gloss] {
                    if ui.selectable_label(other == sheen, other.word()).clicked() {
                        chosen = Some((stain, other));
                    }
                }
            });
    });
    let (stain, sheen) = chosen?;
    Some(match finish.clone() {
        Finish::Timber { species, .. } => Finish::Timber {
            species,
            stain,
            sheen,
        },
        Finish::Paint { colour, .. } => Finish::Paint { colour, sheen },
        metal @ Finish::Metal(_) => metal,
    })
}

/// A choice among tones: gives what was chosen.
fn tone_ui(
    ui: &mut Ui,
    (word, usual): (&str, &str),
    tones: &[Toned],
    now: Option<Colour>,
) -> Option<Option<Colour>> {
    let mut chosen = None;
    before(ui, word, |ui| {
        let says = now.map_or_else(|| usual.to_owned(), |now| tone_name(tones, now));
        egui::ComboBox::from_id_salt(("tone", word))
            .width(CHOICE + 60.0)
            .height(360.0)
            .selected_text(says)
            .show_ui(ui, |ui| {
                if ui.selectable_label(now.is_none(), usual).clicked() {
                    chosen = Some(None);
                }
                for (name, colour) in tones {
                    if toned(ui, now == Some(*colour), name, Some(*colour)).clicked() {
                        chosen = Some(Some(*colour));
                    }
                }
            });
    });
    chosen
}

/// Walls, floors and light.
fn room_ui(ui: &mut Ui, shown: &Look) -> Option<Dressing> {
    let mut asked = tone_ui(ui, ("walls", "off-white"), &PAINTS, shown.wall).map(Dressing::Wall);
    if let Some(floor) = finish_ui(ui, "floors", shown.floor.as_ref()) {
        asked = Some(Dressing::Floor(floor));
    }
    before(ui, "light", |ui| {
        for (light, word) in [(Light::Day, "by day"), (Light::Evening, "in the evening")] {
            if ui.selectable_label(shown.light == light, word).clicked() && shown.light != light {
                asked = Some(Dressing::Light(light));
            }
        }
    });
    asked
}
