//! Looks of the finished stair as the file writes them: what is left out means the usual.

use super::client::{Colour, Finish, FinishOf, Finished, Light, Look, Metal, Sheen};
use super::edit::quoted;

/// Fields of a struct, as the file writes one that has them.
fn fields(all: impl IntoIterator<Item = Option<String>>) -> String {
    let there: Vec<String> = all.into_iter().flatten().collect();
    there.join(", ")
}

fn colour(name: &str, colour: Colour) -> String {
    format!("{name}: {}", quoted(&colour.to_string()))
}

fn sheen(sheen: Sheen) -> Option<String> {
    let written = match sheen {
        Sheen::Satin => return None,
        Sheen::Matt => "Matt",
        Sheen::Gloss => "Gloss",
    };
    Some(format!("sheen: {written}"))
}

impl Finish {
    /// As the file writes it, such as `Paint(colour: "#f0ebe0")`.
    #[must_use]
    pub fn written(&self) -> String {
        match self {
            Self::Timber {
                species,
                stain,
                sheen: shines,
            } => {
                let species = species.as_ref();
                let all = [
                    species.map(|species| format!("species: {}", quoted(species))),
                    stain.map(|stain| colour("stain", stain)),
                    sheen(*shines),
                ];
                format!("Timber({})", fields(all))
            }
            Self::Paint {
                colour: paint,
                sheen: shines,
            } => format!(
                "Paint({})",
                fields([Some(colour("colour", *paint)), sheen(*shines)])
            ),
            Self::Metal(metal) => format!("Metal({})", metal.written()),
        }
    }
}

impl Metal {
    const fn written(self) -> &'static str {
        match self {
            Self::Blacked => "Blacked",
            Self::Steel => "Steel",
            Self::Brass => "Brass",
            Self::Bronze => "Bronze",
        }
    }
}

impl Finished {
    /// As the file writes it.
    #[must_use]
    pub const fn written(self) -> &'static str {
        match self {
            Self::Treads => "Treads",
            Self::Kicks => "Kicks",
            Self::Skirts => "Skirts",
            Self::Stringers => "Stringers",
            Self::Newels => "Newels",
            Self::Rails => "Rails",
            Self::BottomRails => "BottomRails",
            Self::Balusters => "Balusters",
            Self::Panels => "Panels",
            Self::Shoes => "Shoes",
            Self::HalfWalls => "HalfWalls",
        }
    }
}

impl FinishOf {
    /// As the file writes it.
    #[must_use]
    pub fn written(&self) -> String {
        let of: Vec<&str> = self.of.iter().map(|part| part.written()).collect();
        format!("(of: [{}], is: {})", of.join(", "), self.is.written())
    }
}

impl Look {
    /// As the file writes it, over several lines.
    #[must_use]
    pub fn written(&self) -> String {
        let note = (!self.note.is_empty()).then(|| format!("note: {}", quoted(&self.note)));
        let finishes = (!self.finishes.is_empty()).then(|| {
            let each = self.finishes.iter().map(FinishOf::written);
            let each: Vec<String> = each.map(|one| format!("            {one},\n")).collect();
            format!("finishes: [\n{}        ]", each.concat())
        });
        let all = [
            Some(format!("name: {}", quoted(&self.name))),
            note,
            finishes,
            self.wall.map(|wall| colour("wall", wall)),
            self.floor
                .as_ref()
                .map(|floor| format!("floor: {}", floor.written())),
            (self.light == Light::Evening).then(|| "light: Evening".to_owned()),
        ];
        let there = all
            .into_iter()
            .flatten()
            .map(|one| format!("        {one},\n"));
        format!("(\n{}    )", there.collect::<String>())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::job::Document;

    const JOB: &str = include_str!("../../scenes/straight.ron");

    fn look(name: &str) -> Look {
        Look {
            name: name.to_owned(),
            note: String::new(),
            finishes: Vec::new(),
            wall: None,
            floor: None,
            light: Light::Day,
        }
    }

    /// One of every finish, and every part.
    fn full() -> Look {
        let tone = Colour([1, 171, 255]);
        let mut finishes = vec![FinishOf {
            of: Finished::ALL.to_vec(),
            is: Finish::Paint {
                colour: tone,
                sheen: Sheen::Gloss,
            },
        }];
        for metal in [Metal::Blacked, Metal::Steel, Metal::Brass, Metal::Bronze] {
            finishes.push(FinishOf {
                of: vec![Finished::Balusters],
                is: Finish::Metal(metal),
            });
        }
        for species in [None, Some("red oak".to_owned())] {
            finishes.push(FinishOf {
                of: vec![Finished::Treads, Finished::Rails],
                is: Finish::Timber {
                    species,
                    stain: Some(tone),
                    sheen: Sheen::Matt,
                },
            });
        }
        Look {
            note: "what \"he\" said \\ and more".to_owned(),
            finishes,
            wall: Some(tone),
            floor: Some(Finish::Paint {
                colour: tone,
                sheen: Sheen::Satin,
            }),
            light: Light::Evening,
            ..look("evening \u{2026}")
        }
    }

    #[test]
    fn looks_that_are_written_are_read_again_as_they_were() {
        let looks = [look("plain"), full()];
        let written: Vec<String> = looks.iter().map(Look::written).collect();
        let document = Document::parse(JOB, "straight.ron").unwrap();
        let list = format!("(looks: [{}])", written.join(", "));
        let read = document.set("client", &list).unwrap();
        assert_eq!(read.job().client.looks, looks);
    }

    #[test]
    fn what_is_usual_is_left_out() {
        assert_eq!(
            look("plain").written(),
            "(\n        name: \"plain\",\n    )"
        );
    }
}
