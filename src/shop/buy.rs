//! What is bought: boards by their plans, parts by the piece with spares, adhesive, screws and plugs.
//!
//! In: the plans of a job, its chain, a price list. Out: [`Purchase`], a line for each thing. A price
//! that is not known stays unknown, and the total says what it is without.

use statrs::distribution::{Binomial, DiscreteCDF};

use crate::chain::{Chain, Fitted, RunChain};
use crate::job::{Shop, Spares};
use crate::measure::{Length, tolerance};
use crate::setout::bedding::Fills;

use super::cuts::{CutPiece, PieceKind, Standing};
use super::fastening::{DrivenKind, HeldBy, JointKind, plugs, schedule};
use super::prices::{
    ADHESIVE, BLOCK, BRACKET, BRAD, EASING, From, NEWEL_CAP, PANEL, PLUG, Prices, RAIL_BOLT,
    ROSETTE, SCREW,
};
use super::stock::{Blank, CannotCut, GlueUp, SPARE, Section, SectionPlan, glue_ups};
use super::there::{Known, There};

/// One thing to buy.
#[derive(Clone, Debug, PartialEq)]
pub struct BuyLine {
    /// The item, as a price list names it.
    pub item: &'static str,
    /// The section of a board or part.
    pub section: Option<Section>,
    /// The length: of a board or a screw its own, of parts that of the longest.
    pub length: Option<Length>,
    /// The width and thickness of a panel, block or cap: those of the largest.
    pub sides: Option<[Length; 2]>,
    /// The diameter of a screw, brad, bolt or plug.
    pub diameter: Option<Length>,
    /// True for a board to cut from.
    pub board: bool,
    /// How many are needed.
    pub needed: u64,
    /// How many more are bought, as some will be bad.
    pub spare: u64,
    /// What one costs, in the currency of the list, and where that is from.
    pub price: Option<(f64, From)>,
}

impl BuyLine {
    /// How many are bought.
    #[must_use]
    pub const fn buy(&self) -> u64 {
        self.needed + self.spare
    }

    /// What they cost, where the price is known.
    #[must_use]
    pub fn cost(&self) -> Option<f64> {
        self.price.map(|(price, _)| price * self.buy() as f64)
    }
}

/// A run of beads of one thickness.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeadRun {
    /// Where they lie.
    pub at: BeadAt,
    /// How thick they are.
    pub bead: Bead,
    /// Diameter of the bead.
    pub diameter: Length,
    /// All of them together.
    pub length: Length,
}

impl BeadRun {
    /// What it takes, in millilitres.
    #[must_use]
    pub fn millilitres(&self) -> f64 {
        let radius = self.diameter.as_mm() / 2.0;
        std::f64::consts::PI * radius * radius * self.length.as_mm() / 1000.0
    }
}

/// Where beads lie.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum BeadAt {
    /// Between treads and stringers.
    Treads,
    /// Between kicks and stringers.
    Kicks,
    /// Between the heads of kicks and the treads on them.
    Heads,
}

/// A thickness of bead.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Bead {
    /// A light one.
    Light,
    /// A normal one.
    Normal,
    /// A heavy one.
    Heavy,
}

/// The adhesive that it takes. By common practice, no source: a round bead along every bed, as thick
/// as the gap asks where that was read, a normal one elsewhere, a light one along the heads of kicks.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Adhesive {
    /// The beads.
    pub beads: Vec<BeadRun>,
    /// What a cartridge holds, in millilitres.
    pub cartridge_ml: f64,
    /// True where no gap was read, so that all are taken as normal.
    pub unread: bool,
}

impl Adhesive {
    /// What all beads take, in millilitres.
    #[must_use]
    pub fn millilitres(&self) -> f64 {
        self.beads.iter().map(BeadRun::millilitres).sum()
    }

    /// Cartridges to buy.
    #[must_use]
    pub fn cartridges(&self) -> u64 {
        // What is over a whole number by rounding only is none more.
        (self.millilitres() / self.cartridge_ml - 1e-9)
            .ceil()
            .max(0.0) as u64
    }
}

/// The purchase list.
#[derive(Clone, Debug, PartialEq)]
pub struct Purchase {
    /// The lines.
    pub lines: Vec<BuyLine>,
    /// What the adhesive is reckoned from.
    pub adhesive: Adhesive,
    /// What winders are glued up from: their boards are among those of the treads.
    pub glue_ups: Vec<GlueUp>,
    /// What is there already and is not bought.
    pub there: There,
    /// True where a price list was given.
    pub listed: bool,
}

impl Purchase {
    /// What everything costs that has a price; `None` where nothing has.
    #[must_use]
    pub fn total(&self) -> Option<f64> {
        let costs = self.lines.iter().filter_map(BuyLine::cost);
        costs.fold(None, |sum, cost| Some(sum.unwrap_or(0.0) + cost))
    }

    /// Lines that the total is without.
    pub fn without(&self) -> impl Iterator<Item = &BuyLine> {
        let lines = self.lines.iter();
        lines.filter(|line| line.price.is_none() && line.buy() > 0)
    }
}

/// Most spares that are looked at, as a share of what is needed, and on top of it.
const MOST_SPARES: (u64, u64) = (4, 200);

/// How many to buy beyond those needed, so that the chance of enough good ones is as asked: the
/// smallest number. Each is good or bad by itself.
#[must_use]
pub fn spares(needed: u64, asked: Spares) -> u64 {
    if needed == 0 || asked.bad <= 0.0 {
        return 0;
    }
    let most = needed * MOST_SPARES.0 + MOST_SPARES.1;
    let enough = |spare: &u64| {
        let bad = Binomial::new(asked.bad, needed + spare);
        bad.is_ok_and(|bad| bad.cdf(*spare) >= asked.sure)
    };
    (0..=most).find(enough).unwrap_or(most)
}

/// What a stair needs that is bought. Spare balusters are in the plans already.
#[must_use]
pub fn purchase(
    chain: &Chain,
    fitted: &[Fitted],
    (cut, there): (&[CutPiece], There),
    plans: &[SectionPlan],
    prices: &Prices,
) -> Purchase {
    let shop = &chain.first().run.job.shop;
    let mut lines = Vec::new();
    for plan in plans {
        match &plan.plan {
            Ok(_) => boards(plan, &mut lines),
            Err(_) => lines.push(pieces(plan, prices)),
        }
    }
    let adhesive = adhesive(chain, fitted, shop);
    let piece = |item, needed| Small::new(item, needed);
    let wanted = || cut.iter().filter(|one| one.there != Standing::Fitted);
    let of = |kind| wanted().filter(|one| one.kind == kind).count() as u64;
    let mut small = vec![
        piece(EASING, of(PieceKind::Easing)),
        piece(ROSETTE, of(PieceKind::Rosette)),
    ];
    small.extend(caps(chain));
    small.extend(sized(PANEL, PieceKind::Panel, cut));
    small.push(piece(BRACKET, brackets(chain)));
    small.extend(sized(BLOCK, PieceKind::Block, cut));
    small.push(piece(ADHESIVE, adhesive.cartridges()));
    small.extend(driven(chain));
    let small = small.into_iter().filter(|one| one.needed > 0);
    lines.extend(small.map(|one| one.line(prices)));
    Purchase {
        lines,
        adhesive,
        glue_ups: glue_ups(cut),
        there,
        listed: prices.given,
    }
}

/// Caps by their size across, but for those on newels that have been fitted.
fn caps(chain: &Chain) -> Vec<Small> {
    let fitted = Known::of(chain).fitted;
    let newels = chain.runs.iter().flat_map(|run| &run.setout.newels);
    let capped =
        newels.filter(|newel| newel.cap.height() > Length::ZERO && !fitted.contains(&newel.name));
    let mut found = Vec::new();
    for newel in capped {
        let sides = [newel.along, newel.across].map(|side| side + newel.cap.out * 2.0);
        let mut cap = Small::new(NEWEL_CAP, 1);
        cap.length = Some(sides[0].max(sides[1]));
        cap.sides = Some([sides[0].min(sides[1]), newel.cap.height()]);
        let across = cap.length;
        let alike = |own: &Small| near(own.length, across);
        put(&mut found, cap, alike);
    }
    found
}

/// Panels or blocks by their thickness, each line with the largest of them.
fn sized(item: &'static str, kind: PieceKind, cut: &[CutPiece]) -> Vec<Small> {
    let mut found = Vec::new();
    for piece in cut.iter().filter(|one| one.kind == kind) {
        let mut one = Small::new(item, u64::from(piece.quantity));
        one.length = Some(piece.rough);
        one.sides = Some(piece.section);
        let thick = |own: &Small| own.sides.map(|sides| sides[1]);
        let alike = |own: &Small| near(thick(own), Some(piece.section[1]));
        put(&mut found, one, alike);
    }
    found
}

fn brackets(chain: &Chain) -> u64 {
    let rails = chain
        .runs
        .iter()
        .filter_map(|run| run.setout.wall_rail.as_ref());
    rails.map(|rail| rail.brackets.len() as u64).sum()
}

/// Adds to the line that is alike, with the larger size, or makes one.
fn put(found: &mut Vec<Small>, one: Small, alike: impl Fn(&Small) -> bool) {
    let Some(own) = found.iter_mut().find(|own| alike(own)) else {
        found.push(one);
        return;
    };
    own.needed += one.needed;
    own.length = own.length.zip(one.length).map(|(a, b)| a.max(b));
    own.sides = own
        .sides
        .zip(one.sides)
        .map(|(a, b)| [a[0].max(b[0]), a[1].max(b[1])]);
}

/// True for the same size, or where neither has one.
fn near(a: Option<Length>, b: Option<Length>) -> bool {
    match (a, b) {
        (Some(a), Some(b)) => (a - b).abs() < Length::mm(tolerance::DEPARTS_MM),
        (a, b) => a.is_none() && b.is_none(),
    }
}

/// The boards of a plan, a line for each length.
fn boards(plan: &SectionPlan, lines: &mut Vec<BuyLine>) {
    let Ok(planned) = &plan.plan else { return };
    for (at, stock) in plan.stock.iter().enumerate() {
        let used = planned.boards.iter().filter(|board| board.stock == at);
        let needed = used.count() as u64;
        if needed > 0 {
            lines.push(BuyLine {
                item: plan.section.of.word(),
                section: Some(plan.section),
                length: Some(stock.length),
                sides: None,
                diameter: None,
                board: true,
                needed,
                spare: 0,
                price: stock.price.zip(plan.priced[at]),
            });
        }
    }
}

/// Parts that are bought by the piece.
fn pieces(plan: &SectionPlan, prices: &Prices) -> BuyLine {
    let of = plan.section.of;
    let spares = plan.blanks.iter().filter(|one| is_spare(one));
    let spares: u64 = spares.map(|one| u64::from(one.count)).sum();
    // What does not fit the boards that are given is not bought by the piece.
    let by_piece = matches!(plan.plan, Err(CannotCut::NoStock));
    let listed = prices.of(of.word(), None).filter(|_| by_piece);
    BuyLine {
        item: of.word(),
        section: Some(plan.section),
        length: Some(plan.longest()),
        sides: None,
        diameter: None,
        board: false,
        needed: u64::from(plan.count()) - spares,
        spare: spares,
        price: listed.map(|one| (one.price, From::List(one.line))),
    }
}

fn is_spare(blank: &Blank) -> bool {
    blank.label == SPARE
}

/// What is bought by the piece and has no section.
struct Small {
    item: &'static str,
    diameter: Option<Length>,
    length: Option<Length>,
    sides: Option<[Length; 2]>,
    needed: u64,
}

impl Small {
    const fn new(item: &'static str, needed: u64) -> Self {
        Self {
            item,
            diameter: None,
            length: None,
            sides: None,
            needed,
        }
    }

    /// A price with the length goes before one without.
    fn line(self, prices: &Prices) -> BuyLine {
        let listed = prices.of(self.item, self.length);
        let listed = listed.or_else(|| prices.of(self.item, None));
        BuyLine {
            item: self.item,
            section: None,
            length: self.length,
            sides: self.sides,
            diameter: self.diameter,
            board: false,
            needed: self.needed,
            spare: 0,
            price: listed.map(|one| (one.price, From::List(one.line))),
        }
    }
}

/// Screws, brads and bolts of the fastening schedule by their size, and plugs by theirs. Of those that
/// the job tells of in newels and rails only the bore is known.
fn driven(chain: &Chain) -> Vec<Small> {
    let fitted = Known::of(chain).fitted;
    let mut found: Vec<Small> = Vec::new();
    let mut add = |one: Small| {
        let (item, diameter, length) = (one.item, one.diameter, one.length);
        let alike = |own: &Small| {
            own.item == item && near(own.diameter, diameter) && near(own.length, length)
        };
        put(&mut found, one, alike);
    };
    for line in schedule(chain).lines {
        let one = match (line.kind, line.held_by) {
            (_, HeldBy::Driven(set)) => Small {
                item: match set.what {
                    DrivenKind::Screw => SCREW,
                    DrivenKind::Brad => BRAD,
                    DrivenKind::RailBolt => RAIL_BOLT,
                },
                diameter: Some(set.diameter),
                length: Some(set.length),
                sides: None,
                needed: u64::from(set.total),
            },
            (JointKind::Fixing, _) => {
                let joints = line.joints.iter();
                let wanted = joints.filter(|(part, _)| !fitted.contains(part));
                Small::new(SCREW, wanted.count() as u64)
            }
            _ => continue,
        };
        add(one);
    }
    for plug in plugs(chain) {
        add(Small {
            item: PLUG,
            diameter: Some(plug.diameter),
            length: None,
            sides: None,
            needed: u64::from(plug.number),
        });
    }
    found.sort_by_key(|one| {
        [SCREW, BRAD, RAIL_BOLT, PLUG]
            .iter()
            .position(|item| *item == one.item)
    });
    found
}

fn adhesive(chain: &Chain, fitted: &[Fitted], shop: &Shop) -> Adhesive {
    let mut found: Vec<BeadRun> = Vec::new();
    let mut read = false;
    let diameters = shop.beads.diameters().map(|one| one.value);
    let mut put = |at: BeadAt, bead: Bead, length: Length| {
        let diameter = diameters[bead as usize];
        match found
            .iter_mut()
            .find(|one| (one.at, one.bead) == (at, bead))
        {
            Some(there) => there.length += length,
            None => found.push(BeadRun {
                at,
                bead,
                diameter,
                length,
            }),
        }
    };
    for (run, fitted) in chain.runs.iter().zip(fitted) {
        read |= fitted.bedded.is_some();
        beads(run, fitted, &mut put);
    }
    found.retain(|one| one.length > Length::mm(tolerance::SAME_POINT_MM));
    found.sort_by_key(|one| (one.at, one.bead));
    Adhesive {
        beads: found,
        cartridge_ml: shop.beads.cartridge(),
        unread: !read,
    }
}

fn bead_of(fills: Fills) -> Bead {
    match fills {
        Fills::Light => Bead::Light,
        // What is relieved lies on wood again.
        Fills::Normal | Fills::Relieve => Bead::Normal,
        Fills::Heavy | Fills::Shim => Bead::Heavy,
    }
}

fn beads(run: &RunChain, fitted: &Fitted, put: &mut impl FnMut(BeadAt, Bead, Length)) {
    let boards = run.boards();
    let stringers = &run.run.job.stringers;
    let bedded = fitted.bedded.as_ref();
    for tread in &boards.treads {
        let long = (tread.depth.0 + tread.depth.1) / 2.0;
        let bed = bedded.and_then(|all| all.treads.iter().find(|one| one.step == tread.step));
        for stringer in stringers {
            let fills = bed
                .and_then(|one| one.beds.iter().find(|bed| bed.stringer == stringer.name))
                .map_or(Fills::Normal, |bed| bed.fills);
            put(BeadAt::Treads, bead_of(fills), long);
        }
    }
    for kick in &boards.kicks {
        let long = (kick.height.0 + kick.height.1) / 2.0;
        let bed = bedded.and_then(|all| all.kicks.iter().find(|one| one.step == kick.step));
        for stringer in stringers {
            let fills = bed
                .and_then(|one| one.beds.iter().find(|bed| bed.stringer == stringer.name))
                .map_or(Fills::Normal, |bed| bed.fills);
            put(BeadAt::Kicks, bead_of(fills), long);
        }
        put(BeadAt::Heads, Bead::Light, kick.top);
    }
}
