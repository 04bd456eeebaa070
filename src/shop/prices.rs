//! A price list: the user's own CSV.
//!
//! In: text with a head line that names its columns: `item`, `price`, and where wanted `length` and
//! `currency`; others are passed over. Parted by commas or semicolons. Out: [`Prices`], with what is
//! wrong line by line; such a line gives no price.
//!
//! An item is one of [`known`]'s words, one of them or many. A board's price stands with its length; a
//! price without a length is that of one piece.

use std::collections::{BTreeMap, BTreeSet};

use crate::job::limits::LONGEST_CURRENCY;
use crate::job::{BoardFor, Job};
use crate::measure::{Length, Unit, parse_length, tolerance};

/// Bought by the piece beside boards and parts.
pub const EASING: &str = "easing";
/// Cartridges of adhesive.
pub const ADHESIVE: &str = "adhesive";
/// Rosettes.
pub const ROSETTE: &str = "rosette";
/// Screws.
pub const SCREW: &str = "screw";
/// Brads.
pub const BRAD: &str = "brad";
/// Rail bolts.
pub const RAIL_BOLT: &str = "rail bolt";
/// Plugs.
pub const PLUG: &str = "plug";
/// Caps on newels.
pub const NEWEL_CAP: &str = "newel cap";
/// Panels under a rail.
pub const PANEL: &str = "panel";
/// Brackets of a handrail on a wall.
pub const BRACKET: &str = "bracket";
/// Blocks that newels bear on.
pub const BLOCK: &str = "block";

/// Most lines of a price list.
pub const MOST_LINES: usize = 20_000;
/// No single thing costs more.
const MOST_PRICE: f64 = crate::job::limits::MOST_PRICE;

/// Every item that a list may price.
#[must_use]
pub fn known() -> Vec<&'static str> {
    let boards = BoardFor::ALL.iter().map(|one| one.word());
    let pieces = [
        EASING, ROSETTE, NEWEL_CAP, PANEL, BRACKET, BLOCK, ADHESIVE, SCREW, BRAD, RAIL_BOLT, PLUG,
    ];
    boards.chain(pieces).collect()
}

/// Where a price is from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum From {
    /// The job's own stock.
    Job,
    /// This line of the price list.
    List(u64),
}

/// One line with a price.
#[derive(Clone, Debug, PartialEq)]
pub struct Priced {
    /// The line, counted from 1.
    pub line: u64,
    /// The item.
    pub item: String,
    /// The length of board.
    pub length: Option<Length>,
    /// The price, in the currency of the list.
    pub price: f64,
}

/// Something wrong in a price list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceFault {
    /// The line, counted from 1.
    pub line: u64,
    /// What is wrong.
    pub problem: String,
    /// What would do.
    pub help: String,
    /// True where nothing is lost by it.
    pub remark: bool,
}

/// A price list as read.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Prices {
    /// True where a list was given.
    pub given: bool,
    /// The prices.
    pub prices: Vec<Priced>,
    /// What is wrong with it.
    pub faults: Vec<PriceFault>,
    /// The money that it is in, where it says.
    pub currency: Option<String>,
}

fn same(a: Option<Length>, b: Option<Length>) -> bool {
    match (a, b) {
        (None, None) => true,
        (Some(a), Some(b)) => (a - b).abs() < Length::mm(tolerance::DEPARTS_MM),
        _ => false,
    }
}

impl Prices {
    /// The money that prices are in: the list's own, or the job's.
    #[must_use]
    pub fn currency_of<'a>(&'a self, job: &'a Job) -> &'a str {
        self.currency.as_deref().unwrap_or(&job.shop.currency)
    }

    /// The price of an item, a board by its length.
    #[must_use]
    pub fn of(&self, item: &str, length: Option<Length>) -> Option<&Priced> {
        let mut all = self.prices.iter();
        all.find(|one| one.item == item && same(one.length, length))
    }

    fn fault(&mut self, line: u64, problem: String, help: impl Into<String>) {
        self.faults.push(PriceFault {
            line,
            problem,
            help: help.into(),
            remark: false,
        });
    }
}

/// Columns by their place.
struct Columns {
    item: usize,
    price: usize,
    length: Option<usize>,
    currency: Option<usize>,
}

/// Reads a price list. Bare lengths are in `unit`; `currency` is the job's, empty where it has none.
#[must_use]
pub fn read(text: &str, unit: Unit, currency: &str) -> Prices {
    let mut prices = Prices {
        given: true,
        currency: (!currency.is_empty()).then(|| currency.to_owned()),
        ..Prices::default()
    };
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    // The reader counts a line that ends in both marks as it stands between them: one too few.
    let text = text.replace("\r\n", "\n").replace('\r', "\n");
    let head = text.lines().find(|line| !line.trim().is_empty());
    let parted = match head {
        Some(head) if head.contains(';') && !head.contains(',') => b';',
        _ => b',',
    };
    let mut rows = csv::ReaderBuilder::new()
        .delimiter(parted)
        .has_headers(false)
        .flexible(true)
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes())
        .into_records();
    let columns = match rows.next() {
        Some(Ok(head)) => columns(&head),
        _ => None,
    };
    let Some(columns) = columns else {
        prices.fault(
            1,
            "the first line does not name the columns".to_owned(),
            "begin with item,length,price,currency",
        );
        return prices;
    };
    for (at, row) in rows.enumerate() {
        if at == MOST_LINES {
            let line = at as u64 + 2;
            let problem = format!("a price list has {MOST_LINES} lines at most");
            prices.fault(line, problem, "take out what this job does not need");
            break;
        }
        match row {
            Ok(row) => one(&mut prices, &row, &columns, unit),
            Err(error) => {
                let line = error.position().map_or(0, csv::Position::line);
                let help = "write it as text in UTF-8, one item a line";
                prices.fault(line, "the line cannot be read".to_owned(), help);
            }
        }
    }
    let unclear = doubled(&mut prices);
    prices.prices.retain(|one| !unclear.contains(&one.line));
    prices.faults.sort_by_key(|fault| fault.line);
    prices
}

fn columns(head: &csv::StringRecord) -> Option<Columns> {
    let place = |name: &str| head.iter().position(|one| one.eq_ignore_ascii_case(name));
    Some(Columns {
        item: place("item")?,
        price: place("price")?,
        length: place("length"),
        currency: place("currency"),
    })
}

/// The word of an item, one of them or many.
fn item_of(text: &str) -> Option<&'static str> {
    let text = text.to_lowercase();
    let single = text.strip_suffix('s').unwrap_or(&text);
    known()
        .into_iter()
        .find(|word| *word == text || *word == single)
}

/// As much of what was read as a message needs.
fn clipped(text: &str) -> String {
    text.chars().take(40).collect()
}

fn one(prices: &mut Prices, row: &csv::StringRecord, columns: &Columns, unit: Unit) {
    let line = row.position().map_or(0, csv::Position::line);
    let cell = |place: usize| row.get(place).unwrap_or("");
    if row.iter().all(str::is_empty) || cell(columns.item).starts_with('#') {
        return;
    }
    let typed = clipped(cell(columns.item));
    let Some(item) = item_of(&typed) else {
        let all = known();
        let near = all
            .iter()
            .map(|word| (strsim::jaro_winkler(word, &typed.to_lowercase()), word))
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .filter(|(like, _)| *like > 0.8);
        let help = match near {
            Some((_, word)) => format!("did you mean {word}?"),
            None => format!("items are {}", all.join(", ")),
        };
        // Nobody can tell a slip of the pen from something that this stair does not need.
        let problem = format!("{typed:?} is nothing that is bought here");
        let help = format!("{help}; begin a line that is to be passed over with #");
        prices.fault(line, problem, help);
        return;
    };
    let length = match columns.length.map(cell) {
        None | Some("") => None,
        Some(text) => match parse_length(text, unit) {
            Ok(length) => Some(length),
            Err(error) => {
                prices.fault(
                    line,
                    format!("the length {:?}: {error}", clipped(text)),
                    "as 12' or 3600 mm",
                );
                return;
            }
        },
    };
    if let Some(currency) = columns.currency.map(cell).filter(|text| !text.is_empty()) {
        if currency.chars().count() > LONGEST_CURRENCY {
            let problem = format!("the currency {:?} is long", clipped(currency));
            let help = format!("{LONGEST_CURRENCY} letters at most, as EUR");
            prices.fault(line, problem, help);
            return;
        }
        let own = prices.currency.get_or_insert_with(|| currency.to_owned());
        if !own.eq_ignore_ascii_case(currency) {
            let problem = format!("the price of the {item} is in {currency}, others in {own}");
            let help = format!("write it in {own}; nothing is converted here");
            prices.fault(line, problem, help);
            return;
        }
    }
    let text = cell(columns.price);
    let price = text.parse::<f64>().ok().filter(|price| price.is_finite());
    match price {
        Some(price) if (0.0..=MOST_PRICE).contains(&price) => prices.prices.push(Priced {
            line,
            item: item.to_owned(),
            length,
            price,
        }),
        Some(price) => {
            let problem = format!("the price of the {item} is {price}");
            prices.fault(line, problem, format!("write 0 to {MOST_PRICE}"));
        }
        None if text.is_empty() => {
            let problem = format!("the price of the {item} is missing");
            prices.fault(line, problem, "write it, or take the line out");
        }
        None => {
            let problem = format!(
                "the price of the {item}, {:?}, is not a number",
                clipped(text)
            );
            prices.fault(
                line,
                problem,
                "write it as 1250.50, without sign and commas",
            );
        }
    }
}

/// Tells lines that price one thing twice; gives those whose prices do not agree.
fn doubled(prices: &mut Prices) -> BTreeSet<u64> {
    let mut unclear = BTreeSet::new();
    let mut faults = Vec::new();
    // Lengths nearer than the tolerance are in one step of it or in neighbouring ones: with every line
    // against every other a long list took minutes.
    let mut near: BTreeMap<(&str, Option<i64>), Vec<usize>> = BTreeMap::new();
    for (at, one) in prices.prices.iter().enumerate() {
        let step = one
            .length
            .map(|length| (length.as_mm() / tolerance::DEPARTS_MM).floor() as i64);
        let beside = |by: i64| (one.item.as_str(), step.map(|step| step + by));
        let alike = |other: &&usize| same(prices.prices[**other].length, one.length);
        let first = [-1, 0, 1]
            .iter()
            .filter_map(|by| near.get(&beside(*by))?.iter().find(alike))
            .min();
        if let Some(first) = first.map(|first| &prices.prices[*first]) {
            let agree = (first.price - one.price).abs() < 1e-9;
            let help = if agree {
                "take one of the two out"
            } else {
                "their prices differ and neither is taken: take one out"
            };
            faults.push(PriceFault {
                line: one.line,
                problem: format!("the {} stands in line {} already", one.item, first.line),
                help: help.to_owned(),
                remark: agree,
            });
            if !agree {
                unclear.extend([first.line, one.line]);
            }
        }
        near.entry(beside(0)).or_default().push(at);
    }
    prices.faults.extend(faults);
    unclear
}
