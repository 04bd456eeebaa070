//! The bores along a shoe or a bottom rail: a strip of its top at full size, from its lower end. Seen
//! from above: u up the slope, v to the left of one going up.

use nalgebra::{Point2, Vector2};

use crate::chain::RunChain;
use crate::measure::{Angle, Length};
use crate::setout::dry_fit::Edge;
use crate::setout::{BalusterSet, RailSet, plan};
use crate::shop::marks::{Side, axis, sill_piece};

use super::{Bore, Label, Named, Stroke, StrokeKind, Template, TemplateKind, fitted, run_name};

/// The strip of what the balusters stand in; none where they stand on treads or a floor.
pub(super) fn of(run: &RunChain) -> Option<Template> {
    let (piece, _) = sill_piece(&run.setout)?;
    run.setout.balusters.first()?;
    let strip = Strip {
        side: Side::of(piece, piece.depth.as_mm()),
        half: piece.width.as_mm() / 2.0,
        // To the right of one going up, where the page has its lower edge.
        edge: if run.site.outward > 0.0 {
            Edge::InnerEdge
        } else {
            Edge::OpenEdge
        },
    };
    Some(strip.template(run, piece))
}

struct Strip {
    side: Side,
    half: f64,
    /// The edge that the strip is laid to.
    edge: Edge,
}

impl Strip {
    /// From the middle of the side to the frame of the template.
    fn lifted(&self, at: Point2<f64>) -> Point2<f64> {
        at + Vector2::new(0.0, self.half)
    }

    fn template(&self, run: &RunChain, piece: &RailSet) -> Template {
        let mut made = Template::new(
            format!("{}-bores", piece.name),
            run_name(run),
            TemplateKind::RailBores,
            piece.name.clone(),
        );
        let balusters = &run.setout.balusters;
        let names: Vec<&str> = balusters.iter().map(|one| one.name.as_str()).collect();
        made.fits = fitted(&names);
        made.datum = Named::Edge(self.edge);
        let corner = |cut, left: f64| self.lifted(Point2::new(self.side.met_by(cut, left), left));
        let ends = [&piece.lower_cut, &piece.upper_cut];
        let [low, high] = ends.map(|cut| [-self.half, self.half].map(|left| corner(cut, left)));
        let other = if self.edge == Edge::OpenEdge {
            Edge::InnerEdge
        } else {
            Edge::OpenEdge
        };
        made.strokes = vec![
            Stroke::line(StrokeKind::Datum, made.datum.clone(), low[0], high[0]),
            Stroke::line(StrokeKind::Edge, Named::Edge(other), low[1], high[1]),
            Stroke::line(StrokeKind::Cut, Named::Words(HOOK), low[0], low[1]),
            Stroke::line(StrokeKind::Cut, Named::Words("upper end"), high[0], high[1]),
        ];
        let [from, to] = [&piece.lower_cut, &piece.upper_cut].map(|cut| corner(cut, 0.0));
        made.strokes
            .push(Stroke::line(StrokeKind::Guide, Named::Nothing, from, to));
        made.bores = balusters.iter().map(|one| self.bore(one)).collect();
        made.labels.push(Label {
            at: from,
            says: Named::Nothing,
        });
        made
    }

    fn bore(&self, one: &BalusterSet) -> Bore {
        let way = axis(one);
        let at = self.lifted(self.side.flat(&one.foot, &way));
        let (along, across) = (one.along.as_mm(), one.across.as_mm());
        let ring = plan::section(one.foot.xy(), along, across, one.round, Angle::ZERO);
        let outline = ring.iter().map(|place| {
            let place = nalgebra::Point3::new(place.x, place.y, one.foot.z);
            self.lifted(self.side.flat(&place, &way))
        });
        let (depth, diameter) = one.peg;
        Bore {
            part: one.name.clone(),
            at,
            diameter: if depth > Length::ZERO {
                diameter
            } else {
                Length::ZERO
            },
            depth,
            outline: outline.collect(),
            off: [
                (Edge::LowerEnd, Length::mm(at.x)),
                (self.edge, Length::mm(at.y)),
            ],
            from_square: self.side.off_square(&way),
        }
    }
}

/// What the lower end is called: every distance along the piece is from there, in its middle.
const HOOK: &str = "lower end: hook the tape here";
