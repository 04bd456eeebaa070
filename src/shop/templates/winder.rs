//! A winder's tread at full size: its outline, its nosing line and kick, bores, notches, the grain.

use nalgebra::{Point2, Point3, Vector2};

use crate::chain::{Chain, RunChain};
use crate::measure::{Angle, Length};
use crate::setout::boards::{WinderTread, winders};
use crate::setout::dry_fit::Edge;
use crate::setout::{BalusterSet, plan};
use crate::shop::cuts::{from_narrow, in_turn, newels_in, standing_on};
use crate::shop::marks::narrow_edge;
use crate::site::PlacedTurn;
use crate::site::winders::SideOf;

use super::{
    Bore, Distance, Label, Named, Stroke, StrokeKind, Template, TemplateKind, fitted, run_name,
};

/// One template for each winder of the turns that lead to a run.
pub(super) fn of(chain: &Chain, run: &RunChain) -> Vec<Template> {
    let mut made = Vec::new();
    for turn in &run.turns {
        let set = winders(turn, run.run.job.boards.as_ref());
        made.extend(set.treads.iter().map(|tread| one(chain, run, turn, tread)));
    }
    made
}

fn one(chain: &Chain, run: &RunChain, turn: &PlacedTurn, tread: &WinderTread) -> Template {
    let mut made = Template::new(
        format!("{}-outline", tread.name),
        run_name(run),
        TemplateKind::Winder,
        tread.name.clone(),
    );
    made.datum = Named::Edge(Edge::Nosing);
    made.strokes = tread
        .sides
        .iter()
        .map(|side| Stroke {
            kind: match side.of {
                SideOf::Front => StrokeKind::Datum,
                _ => StrokeKind::Cut,
            },
            name: match side.of {
                SideOf::Front => Named::Edge(Edge::Nosing),
                SideOf::Wide => Named::Words("the wide end, at the wall"),
                SideOf::Back => Named::Edge(Edge::NextKick),
                SideOf::Narrow => Named::Edge(Edge::NarrowEnd),
            },
            points: side.points.clone(),
            closed: false,
        })
        .collect();
    let [left, right] = tread.kick;
    let kick = Named::Edge(Edge::KickFace);
    made.strokes
        .push(Stroke::line(StrokeKind::Guide, kick, left, right));
    let outline = tread.outline();
    let middle = plan::centre(&outline);
    made.strokes.push(grain(middle));
    for (newel, ring) in newels_in(chain, turn, tread) {
        let name = Named::Part(newel.name.clone());
        made.strokes
            .push(Stroke::ring(StrokeKind::Cut, name, ring.clone()));
        made.waste.push(ring);
    }
    for (of, on) in standing_on(chain, &tread.name) {
        let bores = on.iter().filter_map(|one| bore(of, turn, tread, one));
        made.bores.extend(bores);
    }
    let names: Vec<&str> = made.bores.iter().map(|bore| bore.part.as_str()).collect();
    made.fits = fitted(&names);
    made.distances = tread
        .sides
        .iter()
        .filter_map(|side| deep(&side.ends()[0]))
        .collect();
    made.labels.push(Label {
        at: middle + Vector2::new(0.0, LABEL_OVER_MM),
        says: Named::Part(tread.name.clone()),
    });
    made
}

/// How far over the grain's arrow the part's name stands, mm.
const LABEL_OVER_MM: f64 = 14.0;
/// Half the length of the grain's arrow, mm.
const ARROW_MM: f64 = 60.0;
/// Length of its barbs along it and across, mm.
const BARB_MM: (f64, f64) = (9.0, 4.0);

/// An arrow along the nosing, barbed at both ends.
fn grain(middle: Point2<f64>) -> Stroke {
    let at = |x: f64, y: f64| middle + Vector2::new(x, y);
    let (long, wide) = BARB_MM;
    let end = |way: f64| {
        let back = way * (ARROW_MM - long);
        [at(back, wide), at(way * ARROW_MM, 0.0), at(back, -wide)]
    };
    let ([a, left, b], [c, right, d]) = (end(-1.0), end(1.0));
    Stroke {
        kind: StrokeKind::Guide,
        name: Named::Words("grain"),
        points: vec![a, left, b, left, right, c, right, d],
        closed: false,
    }
}

/// How far back a corner lies, square from the nosing; nothing for one that lies on it.
fn deep(corner: &Point2<f64>) -> Option<Distance> {
    let is = Length::mm(corner.y);
    (is.as_mm() > crate::measure::tolerance::SAME_POINT_MM).then(|| Distance {
        edge: Edge::Nosing,
        from: Point2::new(corner.x, 0.0),
        to: *corner,
        is,
    })
}

fn bore(run: &RunChain, turn: &PlacedTurn, tread: &WinderTread, one: &BalusterSet) -> Option<Bore> {
    let plane = &tread.plane;
    let at = plane.flat(&in_turn(turn, run, &one.foot));
    let (along, across) = (one.along.as_mm(), one.across.as_mm());
    let ring = plan::section(one.foot.xy(), along, across, one.round, Angle::ZERO);
    let outline = ring.iter().map(|place| {
        let place = in_turn(turn, run, &Point3::new(place.x, place.y, one.foot.z));
        plane.flat(&plane.over(&place.xy()))
    });
    let way = (one.top - one.foot).try_normalize(f64::MIN_POSITIVE)?;
    let way = turn.frame.way_from_first(&run.frame.way_to_first(&way));
    let (of, off) = from_narrow(tread, &at);
    Some(Bore {
        part: one.name.clone(),
        at,
        diameter: one.peg.1,
        depth: one.peg.0,
        outline: outline.collect(),
        off: [(Edge::Nosing, Length::mm(at.y)), (narrow_edge(of), off)],
        from_square: Angle::radians(way.dot(&plane.up).clamp(-1.0, 1.0).acos()),
    })
}
