//! What a template is: plain data in its own plane, millimetres.

use nalgebra::Point2;

use crate::measure::{Angle, Length};
use crate::setout::dry_fit::{Board, Edge, FitSide};

/// A template to lay on the wood. Points are (u, v): u to the right, v up the page, the datum edge
/// along v = 0, mm, as seen from outside the wood.
#[derive(Clone, Debug, PartialEq)]
pub struct Template {
    /// What it is called, alone of its name in its run: part and what is cut, such as `N1-T1`.
    pub name: String,
    /// The run that it belongs to.
    pub run: String,
    /// What it is for.
    pub kind: TemplateKind,
    /// The part that it is laid on, as the picture names it.
    pub part: String,
    /// What is fitted there: the newel, the balusters, what a rail meets; empty where nothing is.
    pub fits: String,
    /// The edge along v = 0.
    pub datum: Named,
    /// Lines.
    pub strokes: Vec<Stroke>,
    /// Outlines of what is cut away.
    pub waste: Vec<Vec<Point2<f64>>>,
    /// Holes.
    pub bores: Vec<Bore>,
    /// Distances from an edge that prove it lies right.
    pub distances: Vec<Distance>,
    /// Words at places.
    pub labels: Vec<Label>,
    /// Angles that it holds.
    pub angles: Vec<NamedAngle>,
}

/// What a template is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TemplateKind {
    /// A notch for a newel in a face of a board.
    Notch(Board),
    /// The bores of one tread.
    Bores,
    /// The bores along a shoe or a bottom rail, or where its balusters stand in a plough.
    RailBores,
    /// The outline of a winder's tread, with its bores and notches.
    Winder,
    /// A rail's section and the face of its cut; true at the upper end.
    RailFace(bool),
    /// The line of a rail's end cut, to wrap about it; true at the upper end.
    RailWrap(bool),
    /// An end of a skirt on the wall side; true at the upper floor.
    SkirtEnd(bool),
    /// The cuts of one step in a mitred skirt on the open side.
    SkirtStep,
    /// An angle to set a bevel to.
    Gauge,
}

/// What a line, an edge or a place is called.
#[derive(Clone, Debug, PartialEq)]
pub enum Named {
    /// Nothing.
    Nothing,
    /// A side of a newel.
    Side(FitSide),
    /// An edge of a board.
    Edge(Edge),
    /// A part of the picture.
    Part(String),
    /// In words.
    Words(&'static str),
}

/// What a line is there for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum StrokeKind {
    /// The edge that the template is laid to.
    Datum,
    /// To knife and cut to.
    Cut,
    /// Another edge of the wood.
    Edge,
    /// To fold the paper over.
    Fold,
    /// Only to see by: centre lines, what lies under.
    Guide,
    /// Another way to cut it.
    Instead,
}

/// A line through points.
#[derive(Clone, Debug, PartialEq)]
pub struct Stroke {
    /// What it is for.
    pub kind: StrokeKind,
    /// What it is called.
    pub name: Named,
    /// Its points, mm.
    pub points: Vec<Point2<f64>>,
    /// True where the last is joined to the first.
    pub closed: bool,
}

impl Stroke {
    /// A line between two points.
    #[must_use]
    pub fn line(kind: StrokeKind, name: Named, from: Point2<f64>, to: Point2<f64>) -> Self {
        Self {
            kind,
            name,
            points: vec![from, to],
            closed: false,
        }
    }

    /// A closed outline.
    #[must_use]
    pub const fn ring(kind: StrokeKind, name: Named, points: Vec<Point2<f64>>) -> Self {
        Self {
            kind,
            name,
            points,
            closed: true,
        }
    }

    /// Its length.
    #[must_use]
    pub fn length(&self) -> Length {
        let back = self.points.first().filter(|_| self.closed);
        let ends = self.points.iter().chain(back);
        let next = ends.clone().skip(1);
        ends.zip(next)
            .map(|(a, b)| Length::mm((b - a).norm()))
            .sum()
    }
}

/// A hole, or a round notch.
#[derive(Clone, Debug, PartialEq)]
pub struct Bore {
    /// What goes in.
    pub part: String,
    /// Its centre on the face, mm.
    pub at: Point2<f64>,
    /// Its diameter; zero where only the centre is to be marked.
    pub diameter: Length,
    /// How deep it is, along it.
    pub depth: Length,
    /// The outline of the part about it on the face, mm.
    pub outline: Vec<Point2<f64>>,
    /// How far its centre lies from two edges, square to each.
    pub off: [(Edge, Length); 2],
    /// How far the part stands from square to the face.
    pub from_square: Angle,
}

/// A distance square from an edge to a point.
#[derive(Clone, Debug, PartialEq)]
pub struct Distance {
    /// The edge.
    pub edge: Edge,
    /// Its point nearest, mm.
    pub from: Point2<f64>,
    /// The point, mm.
    pub to: Point2<f64>,
    /// How far they are apart; negative past the edge.
    pub is: Length,
}

/// Words at a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// The middle of them, mm.
    pub at: Point2<f64>,
    /// What they say.
    pub says: Named,
}

/// An angle that something is cut at.
#[derive(Clone, Debug, PartialEq)]
pub struct NamedAngle {
    /// What it is, such as `R1 lower end, mitre`.
    pub what: String,
    /// The angle.
    pub is: Angle,
}

impl NamedAngle {
    /// An angle that is called so.
    #[must_use]
    pub fn new(what: impl Into<String>, is: Angle) -> Self {
        Self {
            what: what.into(),
            is,
        }
    }
}

impl Template {
    /// A template with nothing on it yet.
    #[must_use]
    pub const fn new(name: String, run: String, kind: TemplateKind, part: String) -> Self {
        Self {
            name,
            run,
            kind,
            part,
            fits: String::new(),
            datum: Named::Nothing,
            strokes: Vec::new(),
            waste: Vec::new(),
            bores: Vec::new(),
            distances: Vec::new(),
            labels: Vec::new(),
            angles: Vec::new(),
        }
    }

    /// What has to be on the paper: the least and greatest u and v of every line to cut, bore,
    /// outline, fold and guide. Edges of the board are drawn as far as that reaches.
    #[must_use]
    pub fn bounds(&self) -> (Point2<f64>, Point2<f64>) {
        let whole = |stroke: &&Stroke| !matches!(stroke.kind, StrokeKind::Datum | StrokeKind::Edge);
        let strokes = self.strokes.iter().filter(whole);
        let lines = strokes.flat_map(|stroke| stroke.points.iter().copied());
        let rings = self.waste.iter().flatten().copied();
        let bores = self.bores.iter().flat_map(|bore| {
            let half = bore.diameter.as_mm() / 2.0;
            let reach = nalgebra::Vector2::new(half, half);
            let round = [bore.at - reach, bore.at + reach];
            bore.outline.iter().copied().chain(round)
        });
        let labels = self.labels.iter().map(|label| label.at);
        let far = (
            Point2::new(f64::INFINITY, f64::INFINITY),
            Point2::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
        );
        let points = lines.chain(rings).chain(bores).chain(labels);
        points.fold(far, |(least, most), at| (least.inf(&at), most.sup(&at)))
    }
}
