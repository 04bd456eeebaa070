//! Where each length of the design is taken hold of, and which way it goes.

use nalgebra::{Point3, Vector3};

use crate::chain::RunChain;
use crate::job::{HeightPolicy, RailEnd};

use super::super::cure::Lever;
use super::{Handle, Part, Takes};

/// A newel is held at this share of its height: clear of the flags at its foot and of the rail.
const NEWEL_SHARE: f64 = 0.55;
/// Balusters are moved along the flight at this share of their height.
const BALUSTER_SHARE: f64 = 0.5;

/// The way along a flight, in words.
pub(super) const FLIGHT: [&str; 2] = ["up the flight", "down the flight"];
const HEIGHT: [&str; 2] = ["higher", "lower"];

/// A part of a run that is taken hold of.
pub(super) struct About<'a> {
    pub(super) run: &'a RunChain,
    pub(super) part: &'a str,
    pub(super) kind: Part<'a>,
}

/// A hold in the run's own frame.
struct Hold {
    what: String,
    ways: [&'static str; 2],
    at: Point3<f64>,
    way: Vector3<f64>,
}

impl About<'_> {
    /// The holds of a lever on this part; none where it does not move it.
    pub(super) fn of(&self, lever: &Lever) -> Vec<Handle> {
        let frame = &self.run.frame;
        let holds = self.holds(lever.own_field()).into_iter();
        holds
            .map(|hold| Handle {
                part: self.part.to_owned(),
                what: hold.what,
                ways: hold.ways,
                at: frame.to_first(&hold.at),
                way: frame.way_to_first(&hold.way).normalize(),
                takes: Takes::Length(lever.clone()),
            })
            .collect()
    }

    fn holds(&self, field: &str) -> Vec<Hold> {
        match self.kind {
            Part::Newel(at) => self.newel(at, field).into_iter().collect(),
            Part::Rail => self.rail(field),
            Part::BottomRail => self.bottom_rail(field),
            Part::WallRail => self.wall_rail(field).into_iter().collect(),
            Part::Baluster(one) => self.baluster(one, field).into_iter().collect(),
            Part::Panel(at) => self.panel(at, field).into_iter().collect(),
            Part::Landing(upper) => self.landing(upper, field).into_iter().collect(),
            Part::Other => Vec::new(),
        }
    }

    fn newel(&self, at: usize, field: &str) -> Option<Hold> {
        let set = self.run.setout.newels.get(at)?;
        let own = field.strip_prefix(&format!("design.newels[{at}]."))?;
        let up = |share: f64| set.foot + set.axis.into_inner() * (set.height.as_mm() * share);
        let name = &set.name;
        Some(match own {
            "stands.Displaces.move_by" | "stands.At.x" => Hold {
                what: format!("newel {name} along the flight"),
                ways: FLIGHT,
                at: up(NEWEL_SHARE),
                way: Vector3::x(),
            },
            "stands.At.y" => Hold {
                what: format!("newel {name} across the flight"),
                ways: ["to the left", "to the right"],
                at: up(0.3),
                way: Vector3::y(),
            },
            "height" => Hold {
                what: format!("the height of newel {name}"),
                ways: ["taller", "shorter"],
                at: up(1.0),
                way: set.axis.into_inner(),
            },
            _ => return None,
        })
    }

    fn rail(&self, field: &str) -> Vec<Hold> {
        let rail = &self.run.setout.rail;
        if field == "design.rail.height" {
            // What is as far from both limits as can be does not go by its height.
            if self.run.run.job.design.rail.hold == HeightPolicy::GreatestMargin {
                return Vec::new();
            }
            let ends = [(rail.lower, "lower"), (rail.upper, "upper")];
            return ends
                .map(|(at, end)| Hold {
                    what: format!("the height of rail {}, at its {end} end", rail.name),
                    ways: HEIGHT,
                    at,
                    way: Vector3::z(),
                })
                .into();
        }
        let ends = [false, true].into_iter();
        ends.filter_map(|upper| self.landing(upper, field))
            .collect()
    }

    /// The blocking that the rail lands on at a wall.
    fn landing(&self, upper: bool, field: &str) -> Option<Hold> {
        let rail = &self.run.run.job.design.rail;
        let (end, which) = if upper {
            (&rail.upper, "design.rail.upper.")
        } else {
            (&rail.lower, "design.rail.lower.")
        };
        let (RailEnd::Wall { wall, blocking, .. } | RailEnd::HalfNewel { wall, blocking, .. }) =
            end
        else {
            return None;
        };
        let (_, own) = field.strip_prefix(which)?.split_once('.')?;
        let face = self.run.site.wall(wall)?;
        let at = face.point(blocking.along.mm(), blocking.up.mm());
        Some(match own {
            "blocking.up" => Hold {
                what: format!("the blocking in wall {wall}, up and down"),
                ways: HEIGHT,
                at,
                way: Vector3::z(),
            },
            "blocking.along" => {
                let run = (face.to - face.from).normalize();
                Hold {
                    what: format!("the blocking in wall {wall}, along it"),
                    ways: ["further along the wall", "back along the wall"],
                    at,
                    way: Vector3::new(run.x, run.y, 0.0),
                }
            }
            _ => return None,
        })
    }

    fn bottom_rail(&self, field: &str) -> Vec<Hold> {
        let Some(rail) = &self.run.setout.bottom_rail else {
            return Vec::new();
        };
        if field != "design.bottom_rail.above" {
            return Vec::new();
        }
        let ends = [(rail.lower, "lower"), (rail.upper, "upper")];
        ends.map(|(at, end)| Hold {
            what: format!(
                "bottom rail {} above the nosings, at its {end} end",
                rail.name
            ),
            ways: HEIGHT,
            at,
            way: Vector3::z(),
        })
        .into()
    }

    fn wall_rail(&self, field: &str) -> Option<Hold> {
        let rail = self.run.setout.wall_rail.as_ref()?;
        let name = &rail.name;
        let middle = nalgebra::center(&rail.lower, &rail.upper);
        let along = (rail.upper - rail.lower).xy().normalize();
        let along = Vector3::new(along.x, along.y, 0.0);
        let grows = ["longer", "shorter"];
        Some(match field.strip_prefix("design.wall_rail.")? {
            "height" => Hold {
                what: format!("the height of handrail {name}"),
                ways: HEIGHT,
                at: middle,
                way: Vector3::z(),
            },
            "clear" => {
                let face = self.run.site.wall(&rail.wall)?;
                let run = (face.to - face.from).normalize();
                Hold {
                    what: format!("handrail {name} off its wall"),
                    ways: ["off the wall", "towards the wall"],
                    at: middle + (rail.upper - rail.lower) * 0.1,
                    // The room lies to the left of the wall's direction.
                    way: Vector3::new(-run.y, run.x, 0.0),
                }
            }
            "extend_lower" => Hold {
                what: format!("the foot of handrail {name}"),
                ways: grows,
                at: rail.lower,
                way: -along,
            },
            "extend_upper" => Hold {
                what: format!("the head of handrail {name}"),
                ways: grows,
                at: rail.upper,
                way: along,
            },
            _ => return None,
        })
    }

    fn baluster(&self, one: &crate::setout::BalusterSet, field: &str) -> Option<Hold> {
        let outward = self.run.site.outward;
        Some(match field {
            "design.balusters.spacing.PerTread.set_back" => Hold {
                what: "the row of balusters along the flight".to_owned(),
                ways: FLIGHT,
                at: one.foot + (one.top - one.foot) * BALUSTER_SHARE,
                way: Vector3::x(),
            },
            "design.reveal" => Hold {
                what: "the baluster line, by the reveal wanted".to_owned(),
                ways: ["in from the tread ends", "out to the tread ends"],
                at: one.foot,
                way: Vector3::new(0.0, -outward, 0.0),
            },
            _ => return None,
        })
    }

    fn panel(&self, at: usize, field: &str) -> Option<Hold> {
        let panels = self.run.setout.panels.as_ref()?;
        let [low, high, high_head, low_head] = panels.panels.get(at)?.corners;
        let own = field.strip_prefix("design.balusters.spacing.Panels.")?;
        Some(match own {
            "foot" => Hold {
                what: "the panels' lower edge".to_owned(),
                ways: HEIGHT,
                at: nalgebra::center(&low, &high),
                way: Vector3::z(),
            },
            "head" => Hold {
                what: "the panels' upper edge".to_owned(),
                ways: ["further below the rail", "nearer to the rail"],
                at: nalgebra::center(&low_head, &high_head),
                way: -Vector3::z(),
            },
            _ => return None,
        })
    }
}
