//! The shapes of a job file: what the shop has and takes: boards to cut from, spares, adhesive, rates
//! of work and hours spent. Field names are the file's words.

use serde::{Deserialize, Serialize};

use super::schema::Len;

/// What the shop works with. All of it may be left out.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Shop {
    /// The width of the saw's cut; absent: 1/8 in, common practice, no source.
    pub kerf: Option<Len>,
    /// What is cut off either end of a board, the cut counted in; absent: 1/2 in, common practice, no
    /// source.
    pub trim: Option<Len>,
    /// The boards that there are, or that can be bought.
    pub stock: Vec<BoardsOf>,
    /// Pieces, by their labels, that must come off one board side by side in this order.
    pub matched: Vec<Vec<String>>,
    /// How many balusters are bad, and how sure it must be that enough are good; absent: no spares.
    pub spares: Option<Spares>,
    /// The beads of adhesive; as is usual if not given.
    pub beads: Beads,
    /// The money that prices are in, such as `USD`.
    pub currency: String,
    /// How long the work takes, in hours: the user's own figures.
    pub rates: Rates,
    /// Hours that were spent.
    pub hours: Vec<Spent>,
}

impl Shop {
    /// The width of the saw's cut.
    #[must_use]
    pub fn saw_kerf(&self) -> Len {
        self.kerf.clone().unwrap_or_else(|| Len::inches(0.125))
    }

    /// What is cut off either end of a board.
    #[must_use]
    pub fn end_trim(&self) -> Len {
        self.trim.clone().unwrap_or_else(|| Len::inches(0.5))
    }
}

/// What a board is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum BoardFor {
    /// Rails, handrails on the wall side, and the straight pieces that go on past a rail.
    Rail,
    /// Bottom rails.
    BottomRail,
    /// Newels and half newels.
    Newels,
    /// Balusters.
    Balusters,
    /// Treads, along the nosing.
    Treads,
    /// Return nosings.
    Returns,
    /// Kicks, along their lower edge.
    Kicks,
    /// Skirts.
    Skirts,
    /// Shoes.
    Shoes,
    /// Caps on half walls and closed strings.
    Caps,
    /// Fillets between balusters.
    Fillets,
}

impl BoardFor {
    /// All of them, in the order in which they are told.
    pub const ALL: [Self; 11] = [
        Self::Rail,
        Self::BottomRail,
        Self::Newels,
        Self::Balusters,
        Self::Treads,
        Self::Returns,
        Self::Kicks,
        Self::Skirts,
        Self::Shoes,
        Self::Caps,
        Self::Fillets,
    ];

    /// The word for it in a job.
    #[must_use]
    pub const fn field(self) -> &'static str {
        match self {
            Self::Rail => "Rail",
            Self::BottomRail => "BottomRail",
            Self::Newels => "Newels",
            Self::Balusters => "Balusters",
            Self::Treads => "Treads",
            Self::Returns => "Returns",
            Self::Kicks => "Kicks",
            Self::Skirts => "Skirts",
            Self::Shoes => "Shoes",
            Self::Caps => "Caps",
            Self::Fillets => "Fillets",
        }
    }

    /// One of them in a sentence, as a price list has it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Rail => "rail",
            Self::BottomRail => "bottom rail",
            Self::Newels => "newel",
            Self::Balusters => "baluster",
            Self::Treads => "tread",
            Self::Returns => "return nosing",
            Self::Kicks => "kick",
            Self::Skirts => "skirt",
            Self::Shoes => "shoe",
            Self::Caps => "cap",
            Self::Fillets => "fillet",
        }
    }
}

/// Boards for one purpose.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BoardsOf {
    /// What they are for.
    pub of: BoardFor,
    /// Only for pieces so wide; absent: for all.
    #[serde(default)]
    pub wide: Option<Len>,
    /// Only for pieces so thick; absent: for all.
    #[serde(default)]
    pub thick: Option<Len>,
    /// The lengths that there are.
    pub lengths: Vec<BoardLength>,
}

/// One length of board.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BoardLength {
    /// The length.
    pub is: Len,
    /// What one costs, in the currency of `shop`; absent: as the price list says.
    #[serde(default)]
    pub price: Option<f64>,
    /// How many there are; absent: as many as are wanted, or one where it has defects.
    #[serde(default)]
    pub count: Option<u32>,
    /// Stretches on which no piece may lie: knots, splits, sapwood.
    #[serde(default)]
    pub defects: Vec<Defect>,
}

/// A stretch of a board, from the end that it is measured from.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Defect {
    /// Where it begins.
    pub from: Len,
    /// Where it ends.
    pub to: Len,
}

/// Spare balusters.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spares {
    /// The chance that one is bad, as 0.03.
    pub bad: f64,
    /// The chance that is wanted of enough being good, as 0.95.
    pub sure: f64,
}

/// The beads of adhesive, round ones. The defaults are common practice, no source.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Beads {
    /// Diameter of a light bead; absent: 3/16 in.
    pub light: Option<Len>,
    /// Of a normal one; absent: 1/4 in.
    pub normal: Option<Len>,
    /// Of a heavy one; absent: 3/8 in.
    pub heavy: Option<Len>,
    /// What a cartridge holds, in millilitres; absent: 295.
    pub cartridge_ml: Option<f64>,
}

impl Beads {
    /// Diameters of a light, a normal and a heavy bead.
    #[must_use]
    pub fn diameters(&self) -> [Len; 3] {
        let usual = |one: &Option<Len>, inches| one.clone().unwrap_or_else(|| Len::inches(inches));
        [
            usual(&self.light, 0.1875),
            usual(&self.normal, 0.25),
            usual(&self.heavy, 0.375),
        ]
    }

    /// What a cartridge holds, in millilitres.
    #[must_use]
    pub fn cartridge(&self) -> f64 {
        self.cartridge_ml.unwrap_or(295.0)
    }
}

/// Work that hours go into.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Work {
    /// Treads cut, scribed and laid.
    Treads,
    /// Kicks cut and set.
    Kicks,
    /// Newels stood.
    Newels,
    /// Notches cut for newels.
    Notches,
    /// Balusters cut and set.
    Balusters,
    /// Ends of rails joined to what they meet.
    RailJoints,
    /// Edges scribed to a wall.
    ScribedEdges,
    /// Balusters that lean or whose foot is not square.
    LeaningBalusters,
    /// Troubles cured.
    Troubles,
}

impl Work {
    /// All of it, in the order in which it is told.
    pub const ALL: [Self; 9] = [
        Self::Treads,
        Self::Kicks,
        Self::Newels,
        Self::Notches,
        Self::Balusters,
        Self::RailJoints,
        Self::ScribedEdges,
        Self::LeaningBalusters,
        Self::Troubles,
    ];

    /// The field of `shop.rates` that states how long one takes.
    #[must_use]
    pub const fn field(self) -> &'static str {
        match self {
            Self::Treads => "tread",
            Self::Kicks => "kick",
            Self::Newels => "newel",
            Self::Notches => "notch",
            Self::Balusters => "baluster",
            Self::RailJoints => "rail_joint",
            Self::ScribedEdges => "scribed_edge",
            Self::LeaningBalusters => "leaning_baluster",
            Self::Troubles => "trouble",
        }
    }

    /// What it is called in a sentence.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Treads => "treads",
            Self::Kicks => "kicks",
            Self::Newels => "newels",
            Self::Notches => "notches",
            Self::Balusters => "balusters",
            Self::RailJoints => "rail joints",
            Self::ScribedEdges => "scribed edges",
            Self::LeaningBalusters => "leaning balusters",
            Self::Troubles => "troubles to cure",
        }
    }

    /// True for what only this stair's trouble adds.
    #[must_use]
    pub const fn is_trouble(self) -> bool {
        matches!(
            self,
            Self::ScribedEdges | Self::LeaningBalusters | Self::Troubles
        )
    }
}

/// Hours that one of each takes. There are no defaults: they are the user's own.
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Rates {
    /// A tread.
    pub tread: Option<f64>,
    /// A kick.
    pub kick: Option<f64>,
    /// A newel, its notch left out.
    pub newel: Option<f64>,
    /// A notch.
    pub notch: Option<f64>,
    /// A baluster.
    pub baluster: Option<f64>,
    /// An end of a rail.
    pub rail_joint: Option<f64>,
    /// What an edge scribed to a wall takes more.
    pub scribed_edge: Option<f64>,
    /// What a leaning baluster takes more.
    pub leaning_baluster: Option<f64>,
    /// What a trouble takes to cure.
    pub trouble: Option<f64>,
}

impl Rates {
    /// Hours that one takes, where that is stated.
    #[must_use]
    pub const fn of(&self, work: Work) -> Option<f64> {
        match work {
            Work::Treads => self.tread,
            Work::Kicks => self.kick,
            Work::Newels => self.newel,
            Work::Notches => self.notch,
            Work::Balusters => self.baluster,
            Work::RailJoints => self.rail_joint,
            Work::ScribedEdges => self.scribed_edge,
            Work::LeaningBalusters => self.leaning_baluster,
            Work::Troubles => self.trouble,
        }
    }
}

/// Hours spent.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spent {
    /// On what.
    pub on: Work,
    /// How many.
    pub hours: f64,
    /// When, or by whom.
    #[serde(default)]
    pub note: String,
}
