//! What can stand on a page. Millimetres on the paper, right and down from the upper left corner.

use std::sync::Arc;

use super::{Face, POINTS_PER_MM, width};

/// A place on the paper: millimetres right and down from the upper left corner.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spot {
    /// Millimetres to the right.
    pub x: f64,
    /// Millimetres down.
    pub y: f64,
}

impl Spot {
    /// A place so many millimetres right and down.
    #[must_use]
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// The place moved by so many millimetres right and down.
    #[must_use]
    pub fn moved(self, right: f64, down: f64) -> Self {
        Self::new(self.x + right, self.y + down)
    }
}

/// A colour, as red, green and blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shade(pub u8, pub u8, pub u8);

impl Shade {
    /// Pencil, pressed hard: text and outlines.
    pub const INK: Self = Self(34, 34, 38);
    /// As black as the printer has it, for what is measured by.
    pub const BLACK: Self = Self(0, 0, 0);
    /// Pencil: lesser text.
    pub const GREY: Self = Self(104, 106, 112);
    /// Pencil, barely: hairlines.
    pub const HAIR: Self = Self(172, 174, 180);
    /// A tone for filling parts in sketches; a light grey on any printer.
    pub const TONE: Self = Self(232, 231, 226);
    /// The blue of a chalk line: the one accent. As dark as mid grey where there is no colour.
    pub const CHALK: Self = Self(38, 92, 150);
    /// The paper.
    pub const PAPER: Self = Self(255, 255, 255);
}

/// How a line is drawn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pen {
    /// Its colour.
    pub shade: Shade,
    /// Its thickness in millimetres.
    pub thick: f64,
    /// Dash and gap in millimetres; none for a line drawn through.
    pub dash: Option<(f64, f64)>,
}

impl Pen {
    /// A line drawn through.
    #[must_use]
    pub const fn new(shade: Shade, thick: f64) -> Self {
        Self {
            shade,
            thick,
            dash: None,
        }
    }

    /// The same line, dashed.
    #[must_use]
    pub const fn dashed(self, dash: f64, gap: f64) -> Self {
        Self {
            dash: Some((dash, gap)),
            ..self
        }
    }
}

/// How text is set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// Its face.
    pub face: Face,
    /// Its size in points.
    pub size: f64,
    /// Its colour.
    pub shade: Shade,
}

impl Style {
    /// Regular text of a size in points.
    #[must_use]
    pub const fn regular(size: f64, shade: Shade) -> Self {
        Self {
            face: Face::Regular,
            size,
            shade,
        }
    }

    /// Bold text of a size in points.
    #[must_use]
    pub const fn bold(size: f64, shade: Shade) -> Self {
        Self {
            face: Face::SemiBold,
            size,
            shade,
        }
    }

    /// The width of a text in this style, in millimetres.
    #[must_use]
    pub fn width(self, text: &str) -> f64 {
        width(text, self.face) * self.em()
    }

    /// The size in millimetres.
    #[must_use]
    pub fn em(self) -> f64 {
        self.size / POINTS_PER_MM
    }
}

/// One thing on a page.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A line through places, or the area that it encloses.
    Line {
        /// The places.
        spots: Vec<Spot>,
        /// Whether the last one is joined to the first.
        closed: bool,
        /// How it is drawn, if it is.
        pen: Option<Pen>,
        /// What it is filled with.
        fill: Option<Shade>,
    },
    /// A circle.
    Round {
        /// Its centre.
        centre: Spot,
        /// Its radius in millimetres.
        radius: f64,
        /// How it is drawn, if it is.
        pen: Option<Pen>,
        /// What it is filled with.
        fill: Option<Shade>,
    },
    /// A line of text.
    Text {
        /// The left end of its baseline.
        at: Spot,
        /// The text.
        text: String,
        /// How it is set.
        style: Style,
    },
    /// A line of text that runs up the page, to be read from the right.
    Rising {
        /// The lower end of its baseline.
        at: Spot,
        /// The text.
        text: String,
        /// How it is set.
        style: Style,
    },
    /// A picture.
    Picture {
        /// Its upper left corner.
        at: Spot,
        /// Its width and height in millimetres.
        size: (f64, f64),
        /// The bytes of a PNG file.
        png: Arc<[u8]>,
    },
}

impl Mark {
    /// The mark moved by so many millimetres right and down.
    #[must_use]
    pub fn moved(mut self, right: f64, down: f64) -> Self {
        match &mut self {
            Self::Line { spots, .. } => {
                for spot in spots {
                    *spot = spot.moved(right, down);
                }
            }
            Self::Round { centre: spot, .. }
            | Self::Text { at: spot, .. }
            | Self::Rising { at: spot, .. }
            | Self::Picture { at: spot, .. } => {
                *spot = spot.moved(right, down);
            }
        }
        self
    }

    /// The upper left and lower right corners of what it covers, the thickness of lines left out.
    /// Text counts from the height of its capitals down to its descenders, as fractions of its
    /// size that hold for the shipped faces.
    #[must_use]
    pub fn bounds(&self) -> (Spot, Spot) {
        match self {
            Self::Line { spots, .. } => {
                let far = (
                    Spot::new(f64::INFINITY, f64::INFINITY),
                    Spot::new(f64::NEG_INFINITY, f64::NEG_INFINITY),
                );
                spots.iter().fold(far, |(least, most), spot| {
                    (
                        Spot::new(least.x.min(spot.x), least.y.min(spot.y)),
                        Spot::new(most.x.max(spot.x), most.y.max(spot.y)),
                    )
                })
            }
            Self::Round { centre, radius, .. } => (
                centre.moved(-radius, -radius),
                centre.moved(*radius, *radius),
            ),
            Self::Text { at, text, style } => (
                at.moved(0.0, -0.72 * style.em()),
                at.moved(style.width(text), 0.22 * style.em()),
            ),
            Self::Rising { at, text, style } => (
                at.moved(-0.72 * style.em(), -style.width(text)),
                at.moved(0.22 * style.em(), 0.0),
            ),
            Self::Picture { at, size, .. } => (*at, at.moved(size.0, size.1)),
        }
    }
}

/// One page.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Page {
    /// Width in millimetres.
    pub width: f64,
    /// Height in millimetres.
    pub height: f64,
    /// What stands on it; later marks lie over earlier ones.
    pub marks: Vec<Mark>,
}
