//! What the core knows about one part, as label and value.

use bevy_egui::egui::{self, RichText, Ui, vec2};

use crate::chain::RunChain;
use crate::explain::Asked;
use crate::measure::{Tape, Unit};
use crate::setout::{BalusterSet, NewelSet, RailSet};
use crate::site::Site;

use super::super::drag::card::wanted;
use super::super::look::{self, ink};
use super::super::session::Action;
use super::super::{Pick, Solved};
use super::in_place;

/// One thing known.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fact {
    /// What it is.
    pub(super) label: String,
    /// Its value on the tape.
    pub(super) value: String,
    /// It needs care.
    pub(super) care: bool,
    /// What to ask to learn why it is so.
    pub(super) asked: Option<Asked>,
    /// It can be typed over, for it hangs on one length of the design: what a bare number is in.
    pub(super) sets: Option<Unit>,
}

/// The same facts, those marked that hang on one length of the design.
fn marked(facts: Vec<Fact>, solved: &Solved) -> Vec<Fact> {
    let hangs = |asked: &Asked| crate::explain::handle::hangs(&solved.found, asked);
    let facts = facts.into_iter().map(|fact| {
        let sets = fact.asked.as_ref().is_some_and(hangs);
        Fact {
            sets: sets.then_some(solved.job.tape.unit()),
            ..fact
        }
    });
    facts.collect()
}

impl Fact {
    /// The same, to be asked about.
    fn ask(self, asked: Asked) -> Self {
        Self {
            asked: Some(asked),
            ..self
        }
    }
}

fn fact(label: impl Into<String>, value: String) -> Fact {
    Fact {
        label: label.into(),
        value,
        care: false,
        asked: None,
        sets: None,
    }
}

/// The gaps beside a newel, its notches and what it is cut into.
pub(super) fn of_newel(newel: &NewelSet, solved: &Solved) -> Vec<Fact> {
    let tape = solved.job.tape;
    let runs = &solved.found.runs;
    // A newel in a turn has gaps and notches in both runs.
    let gaps = runs
        .iter()
        .flat_map(|run| &run.setout.gaps)
        .filter(|gap| gap.below == newel.name || gap.above == newel.name);
    let mut facts: Vec<Fact> = gaps
        .map(|gap| {
            let other = if gap.below == newel.name {
                &gap.above
            } else {
                &gap.below
            };
            let (below, above) = (gap.below.clone(), gap.above.clone());
            fact(format!("gap to {other}"), tape.print(gap.clear)).ask(Asked::Gap { below, above })
        })
        .collect();
    if let Some(face) = newel.face_from_kick {
        let asked = Asked::NewelFace(newel.name.clone());
        facts.push(fact("face behind the kick", tape.print(face)).ask(asked));
    }
    let cut = runs.iter().flat_map(|run| {
        let mut all = run.setout.all_newels();
        let here = all.find(|one| one.name == newel.name);
        here.into_iter()
            .flat_map(|one| &one.notches)
            .map(|notch| (run.site.named(format_args!("T{}", notch.step)), notch))
    });
    for (tread, notch) in cut {
        let asked = Asked::Notch {
            newel: newel.name.clone(),
            tread: tread.clone(),
        };
        let label = format!("notch in {tread} from nosing");
        facts.push(fact(label, tape.print(notch.from_nosing)).ask(asked));
        facts.push(fact(
            format!("notch in {tread} from open end"),
            tape.print(notch.from_open_end),
        ));
        facts.push(fact(
            "of it behind the kick's face",
            tape.print(notch.behind_kick_face),
        ));
    }
    let behind = runs
        .iter()
        .flat_map(|run| run.setout.all_newels())
        .filter(|one| one.name == newel.name)
        .flat_map(|one| &one.behind);
    for behind in behind {
        facts.push(Fact {
            label: format!("cut into {}", behind.part),
            value: tape.print(behind.depth),
            care: behind.carries,
            asked: None,
            sets: None,
        });
    }
    marked(facts, solved)
}

fn of_baluster(baluster: &BalusterSet, tape: Tape) -> Vec<Fact> {
    let mut facts = vec![
        fact(
            "on tread",
            format!("T{}, number {}", baluster.step, baluster.place),
        ),
        fact("long point", tape.print(baluster.long_point))
            .ask(Asked::LongPoint(baluster.name.clone())),
        fact("short point", tape.print(baluster.short_point)),
        fact(
            "top cut from square",
            format!("{:.1} deg", baluster.top_angle.as_degrees()),
        ),
        fact("leans outward", tape.print(baluster.lean))
            .ask(Asked::OutOfPlumb(baluster.name.clone())),
    ];
    let edge = baluster.edge_distance;
    facts.extend(edge.map(|edge| fact("peg from the edge", tape.print(edge))));
    facts
}

fn of_rail(rail: &RailSet, site: &Site, tape: Tape) -> Vec<Fact> {
    let over = |step: u32| Asked::RailOver {
        rail: rail.name.clone(),
        tread: match step {
            0 => site.named("F0"),
            step => site.named(format_args!("T{step}")),
        },
    };
    let cut = |cut: &crate::setout::EndCut| {
        format!(
            "mitre {:.1}, bevel {:.1} deg",
            cut.mitre.as_degrees(),
            cut.bevel.as_degrees()
        )
    };
    vec![
        fact("long points", tape.print_feet(rail.long_points))
            .ask(Asked::RailLength(rail.name.clone())),
        fact("short points", tape.print_feet(rail.short_points)),
        fact("lower cut", cut(&rail.lower_cut)),
        fact("upper cut", cut(&rail.upper_cut)),
        fact(
            format!("least height, step {}", rail.window.lowest.1),
            tape.print(rail.window.lowest.0),
        )
        .ask(over(rail.window.lowest.1)),
        fact(
            format!("greatest height, step {}", rail.window.highest.1),
            tape.print(rail.window.highest.0),
        )
        .ask(over(rail.window.highest.1)),
    ]
}

fn of_step(number: u32, run: &RunChain, tape: Tape) -> Option<Vec<Fact>> {
    use crate::measure::Length;
    let step = run.site.step(number)?;
    let mm = |value: f64| tape.print(Length::mm(value));
    let mut facts = vec![
        fact("rise", mm(step.rise)),
        fact("going", mm(step.going)),
        fact("overhang", mm(step.overhang)),
    ];
    let reveals = run
        .setout
        .reveals
        .iter()
        .filter(|reveal| reveal.step == number);
    let tread = run.site.named(format_args!("T{number}"));
    facts.extend(reveals.map(|one| {
        let (tread, part) = (tread.clone(), one.part.clone());
        fact(format!("reveal at {part}"), tape.print(one.value)).ask(Asked::Reveal { tread, part })
    }));
    Some(facts)
}

/// What is known about a part by its name.
pub(super) fn of_part(name: &str, solved: &Solved) -> Vec<Fact> {
    let mut runs = solved.found.runs.iter();
    let facts = runs.find_map(|run| of_part_in(name, run, solved));
    marked(facts.unwrap_or_default(), solved)
}

fn of_part_in(name: &str, run: &RunChain, solved: &Solved) -> Option<Vec<Fact>> {
    let (setout, tape) = (&run.setout, solved.job.tape);
    if let Some(newel) = setout.newels.iter().find(|newel| newel.name == name) {
        return Some(of_newel(newel, solved));
    }
    if let Some(baluster) = setout.balusters.iter().find(|one| one.name == name) {
        return Some(of_baluster(baluster, tape));
    }
    let rails = std::iter::once(&setout.rail).chain(&setout.bottom_rail);
    if let Some(rail) = rails.into_iter().find(|rail| rail.name == name) {
        return Some(of_rail(rail, &run.site, tape));
    }
    let own = name.strip_prefix(run.run.mark.as_str())?;
    let number = own.strip_prefix(['T', 'K'])?.parse().ok()?;
    of_step(number, run, tape)
}

/// A number while it is typed over.
fn typed_over(ui: &mut Ui, id: egui::Id, fact: &Fact) -> Option<Action> {
    let typed = in_place::field(ui, id)?;
    let (asked, unit) = fact.asked.as_ref().zip(fact.sets)?;
    Some(wanted(asked, &typed, unit))
}

/// A table of facts. A number that can be asked about is underlined; a click asks.
pub(super) fn facts_ui(ui: &mut Ui, facts: &[Fact]) -> Vec<Action> {
    let mut asked = Vec::new();
    egui::Grid::new(ui.next_auto_id())
        .num_columns(3)
        .spacing(vec2(10.0, 2.0))
        .show(ui, |ui| {
            for fact in facts {
                ui.label(
                    RichText::new(&fact.label)
                        .size(12.5)
                        .color(ink(look::PENCIL_LIGHT)),
                );
                let colour = if fact.care {
                    look::CRAYON
                } else {
                    look::PENCIL
                };
                let id = ui.id().with(&fact.label);
                if in_place::typing(ui, id) {
                    asked.extend(typed_over(ui, id, fact));
                    ui.end_row();
                    continue;
                }
                let value = RichText::new(&fact.value).size(13.5).color(ink(colour));
                if let Some(about) = &fact.asked {
                    let value = egui::Label::new(value.underline()).sense(egui::Sense::click());
                    if ui.add(value).on_hover_text("Ask why").clicked() {
                        asked.push(Action::Pick(Some(Pick::Number(about.clone()))));
                    }
                } else {
                    ui.label(value);
                }
                if fact.sets.is_some() {
                    let set = egui::Button::new(RichText::new("set").size(11.5)).small();
                    let says = format!("Type what {} is to be", fact.label);
                    if ui.add(set).on_hover_text(says).clicked() {
                        in_place::begin(ui, id, &fact.value);
                    }
                }
                ui.end_row();
            }
        });
    asked
}
