//! The plans of a job: its pieces section by section, from the boards that it names.
//!
//! In: the pieces, what the job says of the shop, a price list. Out: a [`SectionPlan`] each.

use crate::job::{BoardFor, BoardsOf, Shop};
use crate::measure::Length;
use crate::shop::prices::{From, Prices};

use super::blanks::{Section, Sectioned};
use super::types::{Blank, CannotCut, Plan, Saw, Stock};

/// The label of spare balusters.
pub const SPARE: &str = "spare";

/// The pieces of one section and how they are cut.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionPlan {
    /// The section.
    pub section: Section,
    /// Its pieces.
    pub blanks: Vec<Blank>,
    /// The boards for it.
    pub stock: Vec<Stock>,
    /// Where the price of each is from.
    pub priced: Vec<Option<From>>,
    /// How they are cut, or why not.
    pub plan: Result<Plan, CannotCut>,
}

impl SectionPlan {
    /// True where pieces go on no board that is given.
    #[must_use]
    pub fn is_short(&self) -> bool {
        match &self.plan {
            Ok(plan) => !plan.short.is_empty(),
            Err(why) => !matches!(why, CannotCut::NoStock),
        }
    }

    /// How many pieces there are.
    #[must_use]
    pub fn count(&self) -> u32 {
        self.blanks.iter().map(|blank| blank.count).sum()
    }

    /// All their rough lengths together.
    #[must_use]
    pub fn length(&self) -> Length {
        let each = self.blanks.iter();
        each.map(|blank| blank.rough * f64::from(blank.count)).sum()
    }

    /// The longest of them.
    #[must_use]
    pub fn longest(&self) -> Length {
        let each = self.blanks.iter().map(|blank| blank.rough);
        each.fold(Length::ZERO, Length::max)
    }
}

/// Matched pieces that cannot be matched.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unmatched {
    /// Which group of `shop.matched`.
    pub group: usize,
    /// Labels that no piece has.
    pub unknown: Vec<String>,
    /// True where its pieces are of several sections.
    pub several: bool,
}

/// What the saw takes, as the job says or as is usual.
#[must_use]
pub fn saw(shop: &Shop) -> Saw {
    Saw {
        kerf: shop.saw_kerf().value,
        trim: shop.end_trim().value,
    }
}

/// The groups of a job that cannot be matched.
#[must_use]
pub fn unmatched(pieces: &[Sectioned], shop: &Shop) -> Vec<Unmatched> {
    let section_of = |label: &String| {
        pieces
            .iter()
            .position(|one| one.blanks.iter().any(|blank| blank.label == *label))
    };
    let told = shop.matched.iter().enumerate().map(|(group, labels)| {
        let mut sections: Vec<usize> = labels.iter().filter_map(section_of).collect();
        sections.dedup();
        let unknown = labels.iter().filter(|label| section_of(label).is_none());
        Unmatched {
            group,
            unknown: unknown.cloned().collect(),
            several: sections.len() > 1,
        }
    });
    told.filter(|one| one.several || !one.unknown.is_empty())
        .collect()
}

/// Plans every section. Spare balusters are cut as the longest one is.
#[must_use]
pub fn plans(
    pieces: Vec<Sectioned>,
    shop: &Shop,
    prices: &Prices,
    spares: u32,
) -> Vec<SectionPlan> {
    let sections: Vec<Section> = pieces.iter().map(|one| one.section).collect();
    // Spares are of the section that most balusters have.
    let of_balusters = pieces
        .iter()
        .enumerate()
        .filter(|(_, one)| one.section.of == BoardFor::Balusters)
        .max_by_key(|(at, one)| (one.blanks.len(), usize::MAX - at))
        .map(|(at, _)| at);
    let each = pieces.into_iter().enumerate().map(|(at, one)| {
        let mut blanks = one.blanks;
        let longest = blanks.iter().map(|blank| blank.rough);
        let longest = longest.fold(Length::ZERO, Length::max);
        if of_balusters == Some(at) && spares > 0 {
            blanks.push(Blank {
                label: SPARE.to_owned(),
                rough: longest,
                count: spares,
                matched: None,
            });
        }
        section_plan(one.section, blanks, &sections, shop, prices)
    });
    each.collect()
}

fn section_plan(
    section: Section,
    blanks: Vec<Blank>,
    all: &[Section],
    shop: &Shop,
    prices: &Prices,
) -> SectionPlan {
    let takes = |boards: &BoardsOf, section: &Section| {
        let side = |len: &Option<crate::job::Len>| len.as_ref().map(|len| len.value);
        boards.of == section.of && section.takes(side(&boards.wide), side(&boards.thick))
    };
    let mut stock = Vec::new();
    let mut priced = Vec::new();
    let mut shared = false;
    for boards in shop.stock.iter().filter(|boards| takes(boards, &section)) {
        let serves = all.iter().filter(|other| takes(boards, other)).count();
        for board in &boards.lengths {
            let listed = prices.of(section.of.word(), Some(board.is.value));
            let price = listed.map(|one| (one.price, From::List(one.line)));
            let price = price.or_else(|| board.price.map(|price| (price, From::Job)));
            shared |= serves > 1 && (board.count.is_some() || !board.defects.is_empty());
            let defects = board.defects.iter();
            stock.push(Stock {
                length: board.is.value,
                price: price.map(|one| one.0),
                count: board.count,
                defects: defects.map(|one| (one.from.value, one.to.value)).collect(),
            });
            priced.push(price.map(|one| one.1));
        }
    }
    let plan = if shared {
        Err(CannotCut::WhichSection)
    } else if stock.is_empty() {
        Err(CannotCut::NoStock)
    } else {
        super::plan(&blanks, &stock, saw(shop))
    };
    SectionPlan {
        section,
        blanks,
        stock,
        priced,
        plan,
    }
}
