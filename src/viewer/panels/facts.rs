//! What the core knows about one part, as label and value.

use bevy_egui::egui::{self, RichText, Ui, vec2};

use crate::measure::Tape;
use crate::setout::{BalusterSet, NewelSet, RailSet};

use super::super::Solved;
use super::super::look::{self, ink};

/// One thing known.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Fact {
    /// What it is.
    pub(super) label: String,
    /// Its value on the tape.
    pub(super) value: String,
    /// It needs care.
    pub(super) care: bool,
}

fn fact(label: impl Into<String>, value: String) -> Fact {
    Fact {
        label: label.into(),
        value,
        care: false,
    }
}

/// The gaps beside a newel, its notches and what it is cut into.
pub(super) fn of_newel(newel: &NewelSet, solved: &Solved) -> Vec<Fact> {
    let tape = solved.job.tape;
    let setout = &solved.found.setout;
    let gaps = setout
        .gaps
        .iter()
        .filter(|gap| gap.below == newel.name || gap.above == newel.name);
    let mut facts: Vec<Fact> = gaps
        .map(|gap| {
            let other = if gap.below == newel.name {
                &gap.above
            } else {
                &gap.below
            };
            fact(format!("gap to {other}"), tape.print(gap.clear))
        })
        .collect();
    if let Some(face) = newel.face_from_kick {
        facts.push(fact("face behind the kick", tape.print(face)));
    }
    for notch in &newel.notches {
        let tread = notch.step;
        facts.push(fact(
            format!("notch in T{tread} from nosing"),
            tape.print(notch.from_nosing),
        ));
        facts.push(fact(
            format!("notch in T{tread} from open end"),
            tape.print(notch.from_open_end),
        ));
        facts.push(fact(
            "of it behind the kick's face",
            tape.print(notch.behind_kick_face),
        ));
    }
    for behind in &newel.behind {
        facts.push(Fact {
            label: format!("cut into {}", behind.part),
            value: tape.print(behind.depth),
            care: behind.carries,
        });
    }
    facts
}

fn of_baluster(baluster: &BalusterSet, tape: Tape) -> Vec<Fact> {
    vec![
        fact(
            "on tread",
            format!("T{}, number {}", baluster.step, baluster.place),
        ),
        fact("long point", tape.print(baluster.long_point)),
        fact("short point", tape.print(baluster.short_point)),
        fact(
            "top cut from square",
            format!("{:.1} deg", baluster.top_angle.as_degrees()),
        ),
        fact("leans outward", tape.print(baluster.lean)),
        fact("peg from the edge", tape.print(baluster.edge_distance)),
    ]
}

fn of_rail(rail: &RailSet, tape: Tape) -> Vec<Fact> {
    let cut = |cut: &crate::setout::EndCut| {
        format!(
            "mitre {:.1}, bevel {:.1} deg",
            cut.mitre.as_degrees(),
            cut.bevel.as_degrees()
        )
    };
    vec![
        fact("long points", tape.print_feet(rail.long_points)),
        fact("short points", tape.print_feet(rail.short_points)),
        fact("lower cut", cut(&rail.lower_cut)),
        fact("upper cut", cut(&rail.upper_cut)),
        fact(
            format!("least height, step {}", rail.window.lowest.1),
            tape.print(rail.window.lowest.0),
        ),
        fact(
            format!("greatest height, step {}", rail.window.highest.1),
            tape.print(rail.window.highest.0),
        ),
    ]
}

fn of_step(number: u32, solved: &Solved) -> Option<Vec<Fact>> {
    use crate::measure::Length;
    let tape = solved.job.tape;
    let step = solved
        .found
        .site
        .steps
        .iter()
        .find(|step| step.number == number)?;
    let mm = |value: f64| tape.print(Length::mm(value));
    let mut facts = vec![
        fact("rise", mm(step.rise)),
        fact("going", mm(step.going)),
        fact("overhang", mm(step.overhang)),
    ];
    let reveals = solved
        .found
        .setout
        .reveals
        .iter()
        .filter(|reveal| reveal.step == number);
    facts.extend(reveals.map(|one| fact(format!("reveal at {}", one.part), tape.print(one.value))));
    Some(facts)
}

/// What is known about a part by its name.
pub(super) fn of_part(name: &str, solved: &Solved) -> Vec<Fact> {
    let (setout, tape) = (&solved.found.setout, solved.job.tape);
    if let Some(newel) = setout.newels.iter().find(|newel| newel.name == name) {
        return of_newel(newel, solved);
    }
    if let Some(baluster) = setout.balusters.iter().find(|one| one.name == name) {
        return of_baluster(baluster, tape);
    }
    let rails = std::iter::once(&setout.rail).chain(&setout.bottom_rail);
    if let Some(rail) = rails.into_iter().find(|rail| rail.name == name) {
        return of_rail(rail, tape);
    }
    let number = name
        .strip_prefix(['T', 'K'])
        .and_then(|digits| digits.parse().ok());
    number
        .and_then(|number| of_step(number, solved))
        .unwrap_or_default()
}

/// A table of facts.
pub(super) fn facts_ui(ui: &mut Ui, facts: &[Fact]) {
    egui::Grid::new(ui.next_auto_id())
        .num_columns(2)
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
                ui.label(RichText::new(&fact.value).size(13.5).color(ink(colour)));
                ui.end_row();
            }
        });
}
