//! From lengths to a [`Problem`] in whole cells of a grid.
//!
//! Lengths are taken in whole nanometres, in which every mark of a tape to 1/128 in is a whole number
//! or a half. Where all pieces with their kerf are multiples of a common length that is coarse enough
//! the grid is exact. Else there are two problems on a coarser one: pieces rounded up, to plan with,
//! and pieces rounded down, whose bound holds for the pieces as they are.

use crate::measure::Length;

use super::problem::{Item, Kind, Problem};
use super::types::{Blank, CannotCut, CheapIn, Saw, Stock};

/// Nanometres.
pub(super) type Nano = i64;

/// A length in whole nanometres.
pub(super) fn nano(length: Length) -> Nano {
    (length.as_mm() * 1e6).round() as Nano
}

pub(super) fn length(nano: Nano) -> Length {
    Length::mm(nano as f64 / 1e6)
}

/// Most cells of a board times sizes of pieces: what one look for the best pattern takes.
const MOST_WORK: Nano = 1_500_000;
/// Most sizes of pieces: the programme has a row for each.
const MOST_SIZES: usize = 160;
/// Most cells of a board on the finer grid.
const MOST_FINE: Nano = 8000;
/// Prices are taken to a hundredth of a cent.
const PRICE_PARTS: f64 = 1e4;

/// A piece or a row of matched ones: what is cut as one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Unit {
    /// The blanks in it, in order.
    pub(super) blanks: Vec<usize>,
    /// Its length, the kerfs between its pieces with it.
    pub(super) long: Nano,
}

/// The pieces one by one, in the order of the blanks.
pub(super) fn units(blanks: &[Blank], kerf: Nano) -> Vec<Unit> {
    let mut units: Vec<Unit> = Vec::new();
    let mut groups: Vec<(&str, usize)> = Vec::new();
    for (at, blank) in blanks.iter().enumerate() {
        let long = nano(blank.rough);
        for _ in 0..blank.count {
            let group = blank.matched.as_deref();
            let there = group.and_then(|name| groups.iter().find(|one| one.0 == name));
            if let Some((_, unit)) = there {
                units[*unit].blanks.push(at);
                units[*unit].long += kerf + long;
                continue;
            }
            groups.extend(group.map(|name| (name, units.len())));
            units.push(Unit {
                blanks: vec![at],
                long,
            });
        }
    }
    units
}

/// The clear stretches of a board, from and to: between its trims, defects left out.
pub(super) fn clear(stock: &Stock, saw: Saw) -> Vec<(Nano, Nano)> {
    let (kerf, trim) = (nano(saw.kerf), nano(saw.trim));
    let end = nano(stock.length) - trim;
    // The cut that parts a piece from a defect goes through the defect; a shorter one takes wood.
    let mut defects: Vec<(Nano, Nano)> = stock
        .defects
        .iter()
        .map(|(from, to)| (nano(*from), nano(*to)))
        .map(|(from, to)| (from, to.max(from + kerf)))
        .collect();
    defects.sort_unstable();
    let mut found = Vec::new();
    let mut at = trim;
    for (from, to) in defects {
        if from.min(end) > at {
            found.push((at, from.min(end)));
        }
        at = at.max(to);
    }
    if end > at {
        found.push((at, end));
    }
    found
}

/// Sizes of pieces, largest first, with the units of each.
pub(super) type Sizes = Vec<(usize, Vec<usize>)>;

/// The problems of some units.
#[derive(Clone, Debug)]
pub(super) struct Gridded {
    /// To plan with.
    pub(super) plan: Problem,
    /// The units of each of its items.
    pub(super) units: Vec<Vec<usize>>,
    /// Where the grid is not exact: a finer one with all sizes apart, and one to bound with.
    pub(super) coarse: Option<Coarse>,
    /// What a unit of cost is.
    pub(super) cost_unit: f64,
    pub(super) cheap_in: CheapIn,
}

/// What stands beside a grid that is not exact.
#[derive(Clone, Debug)]
pub(super) struct Coarse {
    /// True where there are so many sizes that the grid tells only groups of them.
    pub(super) many: bool,
    /// Pieces rounded up on a finer grid, to fill boards with.
    pub(super) finer: Problem,
    /// The units of each of its items.
    pub(super) units: Vec<Vec<usize>>,
    /// Pieces rounded down, to bound with.
    pub(super) bound: Problem,
    /// What all wood costs at the least rate, in the least unit of cost: no plan costs less.
    pub(super) wood: f64,
}

pub(super) fn gridded(units: &[Unit], stock: &[Stock], saw: Saw) -> Gridded {
    let kerf = nano(saw.kerf);
    let sizes: Vec<Nano> = units.iter().map(|unit| unit.long + kerf).collect();
    let rooms: Vec<Vec<Nano>> = stock
        .iter()
        .map(|one| clear(one, saw))
        .map(|clear| clear.iter().map(|(from, to)| to - from + kerf).collect())
        .collect();
    let greatest = rooms.iter().flatten().copied().max().unwrap_or(1).max(1);
    let (cell, exact) = cell(&sizes, greatest);
    let (costs, cost_unit, cheap_in) = costs(stock);
    let kinds = |cell: Nano| -> Vec<Kind> {
        let each = stock.iter().zip(&rooms).zip(&costs);
        each.map(|((one, rooms), cost)| Kind {
            rooms: rooms.iter().map(|room| (room / cell) as usize).collect(),
            cost: *cost,
            most: one.count.or((!one.defects.is_empty()).then_some(1)),
            long: nano(one.length),
        })
        .collect()
    };
    let problem = |sizes: &Sizes, cell: Nano| Problem {
        items: sizes
            .iter()
            .map(|(size, units)| Item {
                size: *size,
                wanted: u32::try_from(units.len()).unwrap_or(u32::MAX),
            })
            .collect(),
        kinds: kinds(cell),
    };
    let up = sized(&sizes, |size| (size + cell - 1) / cell);
    let units_of = |sized: Sizes| sized.into_iter().map(|(_, units)| units).collect();
    let coarse = (!exact).then(|| {
        let fine = finer(&sizes, greatest);
        let finest = sized(&sizes, |size| (size + fine - 1) / fine);
        let rate = costs.iter().zip(&rooms).map(|(cost, rooms)| {
            let room: Nano = rooms.iter().sum();
            *cost as f64 / room.max(1) as f64
        });
        let wood: Nano = sizes.iter().sum();
        Coarse {
            many: finest.len() > MOST_SIZES,
            finer: problem(&finest, fine),
            units: units_of(finest),
            bound: problem(&sized(&sizes, |size| size / cell), cell),
            wood: rate.fold(f64::INFINITY, f64::min) * wood as f64,
        }
    });
    Gridded {
        plan: problem(&up, cell),
        units: units_of(up),
        coarse,
        cost_unit,
        cheap_in,
    }
}

fn sized(sizes: &[Nano], cells: impl Fn(Nano) -> Nano) -> Sizes {
    let mut order: Vec<usize> = (0..sizes.len()).collect();
    order.sort_by_key(|at| (-cells(sizes[*at]), *at));
    let mut found: Sizes = Vec::new();
    for at in order {
        let size = cells(sizes[at]) as usize;
        match found.last_mut() {
            Some(last) if last.0 == size => last.1.push(at),
            _ => found.push((size, vec![at])),
        }
    }
    found
}

/// The length of a cell, and whether all pieces are whole numbers of them.
fn cell(sizes: &[Nano], greatest: Nano) -> (Nano, bool) {
    let kinds_of = |cell: Nano| {
        let mut all: Vec<Nano> = sizes.iter().map(|size| (size + cell - 1) / cell).collect();
        all.sort_unstable();
        all.dedup();
        all.len()
    };
    let fits = |cell: Nano| {
        let kinds = kinds_of(cell);
        kinds <= MOST_SIZES && greatest / cell * kinds as Nano <= MOST_WORK
    };
    let common = sizes.iter().fold(0, |a, b| gcd(a, *b)).max(1);
    if fits(common) {
        return (common, true);
    }
    // From a hundredth of a millimetre on, so that the grid does not hang on the last digit.
    let mut cell = 10_000;
    while !fits(cell) && cell < greatest {
        cell += cell / 4;
    }
    (cell, false)
}

/// A grid for very many sizes: exact where that is coarse enough.
fn finer(sizes: &[Nano], greatest: Nano) -> Nano {
    let common = sizes.iter().fold(0, |a, b| gcd(a, *b)).max(1);
    common.max(greatest / MOST_FINE)
}

fn gcd(a: Nano, b: Nano) -> Nano {
    if b == 0 { a.abs() } else { gcd(b, a % b) }
}

/// What each board costs in the least unit of cost, and that unit.
fn costs(stock: &[Stock]) -> (Vec<i64>, f64, CheapIn) {
    let prices: Option<Vec<i64>> = stock
        .iter()
        .map(|one| one.price.map(|price| (price * PRICE_PARTS).round() as i64))
        .collect();
    // Prices that are all nought tell no board from another.
    let (costs, part, cheap_in) = match prices.filter(|all| all.iter().any(|price| *price > 0)) {
        Some(prices) => (prices, PRICE_PARTS, CheapIn::Price),
        None => {
            let lengths = stock.iter().map(|one| nano(one.length)).collect();
            (lengths, 1e6, CheapIn::Length)
        }
    };
    let unit = costs.iter().fold(0, |a, b| gcd(a, *b)).max(1);
    let whole = costs.iter().map(|cost| cost / unit).collect();
    (whole, unit as f64 / part, cheap_in)
}

/// Units that no board holds, with the longest clear stretch.
///
/// # Errors
/// [`CannotCut`] where there are any, or no board at all.
pub(super) fn held(units: &[Unit], stock: &[Stock], saw: Saw) -> Result<(), CannotCut> {
    if stock.iter().all(|one| one.count == Some(0)) {
        return Err(CannotCut::NoStock);
    }
    let clear = stock
        .iter()
        .filter(|one| one.count != Some(0))
        .flat_map(|one| clear(one, saw));
    let longest = clear.map(|(from, to)| to - from).max().unwrap_or(0);
    let pieces: Vec<(usize, Length)> = units
        .iter()
        .filter(|unit| unit.long > longest)
        .map(|unit| (unit.blanks[0], length(unit.long)))
        .collect();
    if pieces.is_empty() {
        return Ok(());
    }
    Err(CannotCut::TooLong {
        pieces,
        longest: length(longest),
    })
}
