//! The shape of `stock --json`.

use serde::Serialize;

use super::cuts::{ThereShape, there_shape};
use super::{FORMAT, program, text_of};
use crate::job::{BoardFor, Job};
use crate::measure::{Length, Tape};
use crate::publish::stock::told::skips;
use crate::publish::stock::{bead_at_words, bead_word, plan_says, unmatched_says};
use crate::shop::buy::{BeadRun, BuyLine};
use crate::shop::hours::WorkLine;
use crate::shop::prices::{From, PriceFault, Prices};
use crate::shop::reckoning::Reckoning;
use crate::shop::stock::{Board, CheapIn, GlueUp, SectionPlan, saw};

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    currency: &'a str,
    saw: SawShape,
    plans: Vec<PlanShape<'a>>,
    unmatched: Vec<String>,
    buy: BuyShape<'a>,
    hours: HoursShape<'a>,
    price_faults: Vec<FaultShape<'a>>,
}

#[derive(Serialize)]
struct SawShape {
    kerf_mm: f64,
    kerf: String,
    trim_mm: f64,
    trim: String,
}

#[derive(Serialize)]
struct PlanShape<'a> {
    of: &'static str,
    wide_mm: f64,
    wide: String,
    thick_mm: f64,
    thick: String,
    pieces: u32,
    pieces_length_mm: f64,
    pieces_length: String,
    says: String,
    planned: bool,
    cheap_in: Option<&'static str>,
    cost: Option<f64>,
    bound: Option<f64>,
    proven: bool,
    gap: Option<f64>,
    short: Vec<ShortShape<'a>>,
    stock: Vec<StockShape>,
    boards: Vec<BoardShape<'a>>,
}

#[derive(Serialize)]
struct ShortShape<'a> {
    label: &'a str,
    count: u32,
}

#[derive(Serialize)]
struct StockShape {
    length_mm: f64,
    length: String,
    price: Option<f64>,
    count: Option<u32>,
    defects_mm: Vec<[f64; 2]>,
    used: usize,
}

#[derive(Serialize)]
struct BoardShape<'a> {
    stock: usize,
    cuts: Vec<CutShape<'a>>,
    skip_mm: Vec<[f64; 2]>,
    left_mm: Vec<[f64; 2]>,
    offcut_mm: f64,
    offcut: String,
}

#[derive(Serialize)]
struct CutShape<'a> {
    label: &'a str,
    from_mm: f64,
    from: String,
    to_mm: f64,
    to: String,
    length_mm: f64,
    length: String,
}

#[derive(Serialize)]
struct BuyShape<'a> {
    there: ThereShape<'a>,
    lines: Vec<LineShape>,
    total: Option<f64>,
    without: Vec<&'static str>,
    adhesive: AdhesiveShape,
    glue_ups: Vec<GlueUpShape>,
}

/// What a winder is glued up from.
#[derive(Serialize)]
struct GlueUpShape {
    part: String,
    long_mm: f64,
    long: String,
    wide_mm: f64,
    wide: String,
    thick_mm: f64,
    thick: String,
    boards: u32,
    board_mm: f64,
    board: String,
    area_mm2: f64,
    blank_area_mm2: f64,
}

#[derive(Serialize)]
struct LineShape {
    item: &'static str,
    of: Option<&'static str>,
    board: bool,
    length_mm: Option<f64>,
    length: Option<String>,
    sides_mm: Option<[f64; 2]>,
    diameter_mm: Option<f64>,
    needed: u64,
    spare: u64,
    buy: u64,
    price: Option<f64>,
    price_line: Option<u64>,
    cost: Option<f64>,
}

#[derive(Serialize)]
struct AdhesiveShape {
    beads: Vec<BeadShape>,
    unread: bool,
    millilitres: f64,
    cartridge_ml: f64,
    cartridges: u64,
}

#[derive(Serialize)]
struct BeadShape {
    at: &'static str,
    bead: &'static str,
    diameter_mm: f64,
    diameter: String,
    length_mm: f64,
    length: String,
    millilitres: f64,
}

#[derive(Serialize)]
struct HoursShape<'a> {
    lines: Vec<WorkShape<'a>>,
    planned: Option<f64>,
    added_by_trouble: Option<f64>,
    without: Vec<&'static str>,
    spent: Option<f64>,
}

#[derive(Serialize)]
struct WorkShape<'a> {
    work: &'static str,
    trouble: bool,
    count: usize,
    on: &'a [String],
    rate: Option<f64>,
    planned: Option<f64>,
    spent: Option<f64>,
}

#[derive(Serialize)]
struct FaultShape<'a> {
    line: u64,
    problem: &'a str,
    help: &'a str,
    remark: bool,
}

/// Writes what a job takes as JSON.
#[must_use]
pub fn stock(job: &Job, reckoned: &Reckoning, prices: &Prices) -> String {
    let tape = job.tape;
    let currency = prices.currency_of(job);
    let saw = saw(&job.shop);
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job: &job.name,
        currency,
        saw: SawShape {
            kerf_mm: saw.kerf.as_mm(),
            kerf: tape.print(saw.kerf),
            trim_mm: saw.trim.as_mm(),
            trim: tape.print(saw.trim),
        },
        plans: reckoned
            .plans
            .iter()
            .map(|one| plan(one, currency, tape))
            .collect(),
        unmatched: reckoned.unmatched.iter().map(unmatched_says).collect(),
        buy: buy(reckoned, tape),
        hours: hours(reckoned),
        price_faults: prices.faults.iter().map(fault).collect(),
    })
}

fn fault(fault: &PriceFault) -> FaultShape<'_> {
    FaultShape {
        line: fault.line,
        problem: &fault.problem,
        help: &fault.help,
        remark: fault.remark,
    }
}

fn plan<'a>(one: &'a SectionPlan, currency: &str, tape: Tape) -> PlanShape<'a> {
    let section = &one.section;
    let planned = one.plan.as_ref().ok();
    let boards = planned.map_or(&[][..], |plan| &plan.boards);
    let short = planned.map_or(&[][..], |plan| &plan.short);
    PlanShape {
        of: section.of.field(),
        wide_mm: section.wide.as_mm(),
        wide: tape.print(section.wide),
        thick_mm: section.thick.as_mm(),
        thick: tape.print(section.thick),
        pieces: one.count(),
        pieces_length_mm: one.length().as_mm(),
        pieces_length: tape.print_feet(one.length()),
        says: plan_says(one, currency, tape),
        planned: planned.is_some(),
        cheap_in: planned.map(|plan| match plan.cheap_in {
            CheapIn::Price => "price",
            CheapIn::Length => "length",
        }),
        cost: planned.map(|plan| plan.cost),
        bound: planned.and_then(|plan| plan.bound),
        proven: planned.is_some_and(crate::shop::stock::Plan::is_best),
        gap: planned.and_then(crate::shop::stock::Plan::gap),
        short: short
            .iter()
            .map(|(blank, count)| ShortShape {
                label: &one.blanks[*blank].label,
                count: *count,
            })
            .collect(),
        stock: one
            .stock
            .iter()
            .enumerate()
            .map(|(at, stock)| StockShape {
                length_mm: stock.length.as_mm(),
                length: tape.print_feet(stock.length),
                price: stock.price,
                count: stock.count,
                defects_mm: stock.defects.iter().map(pair).collect(),
                used: boards.iter().filter(|board| board.stock == at).count(),
            })
            .collect(),
        boards: boards.iter().map(|it| board(one, it, tape)).collect(),
    }
}

fn pair((from, to): &(Length, Length)) -> [f64; 2] {
    [from.as_mm(), to.as_mm()]
}

fn board<'a>(one: &SectionPlan, board: &'a Board, tape: Tape) -> BoardShape<'a> {
    let cuts = board.cuts.iter().map(|cut| CutShape {
        label: &cut.label,
        from_mm: cut.from.as_mm(),
        from: tape.print(cut.from),
        to_mm: cut.to.as_mm(),
        to: tape.print(cut.to),
        length_mm: (cut.to - cut.from).as_mm(),
        length: tape.print(cut.to - cut.from),
    });
    BoardShape {
        stock: board.stock,
        cuts: cuts.collect(),
        skip_mm: skips(one, board).map(|skip| pair(&skip)).collect(),
        left_mm: board.offcuts.iter().map(pair).collect(),
        offcut_mm: board.offcut().as_mm(),
        offcut: tape.print(board.offcut()),
    }
}

fn buy(reckoned: &Reckoning, tape: Tape) -> BuyShape<'_> {
    let purchase = &reckoned.purchase;
    let adhesive = &purchase.adhesive;
    BuyShape {
        there: there_shape(&purchase.there),
        lines: purchase.lines.iter().map(|one| line(one, tape)).collect(),
        total: purchase.total(),
        without: purchase.without().map(|one| one.item).collect(),
        adhesive: AdhesiveShape {
            beads: adhesive.beads.iter().map(|one| bead(one, tape)).collect(),
            unread: adhesive.unread,
            millilitres: adhesive.millilitres(),
            cartridge_ml: adhesive.cartridge_ml,
            cartridges: adhesive.cartridges(),
        },
        glue_ups: purchase
            .glue_ups
            .iter()
            .map(|one| glue_up(one, tape))
            .collect(),
    }
}

fn glue_up(one: &GlueUp, tape: Tape) -> GlueUpShape {
    GlueUpShape {
        part: one.part.clone(),
        long_mm: one.long.as_mm(),
        long: tape.print(one.long),
        wide_mm: one.wide.as_mm(),
        wide: tape.print(one.wide),
        thick_mm: one.thick.as_mm(),
        thick: tape.print(one.thick),
        boards: one.boards,
        board_mm: one.board.as_mm(),
        board: tape.print(one.board),
        area_mm2: one.area_mm2,
        blank_area_mm2: one.blank_area_mm2(),
    }
}

fn line(line: &BuyLine, tape: Tape) -> LineShape {
    LineShape {
        item: line.item,
        of: line.section.as_ref().map(|one| BoardFor::field(one.of)),
        board: line.board,
        length_mm: line.length.map(Length::as_mm),
        length: line.length.map(|length| tape.print(length)),
        sides_mm: line.sides.map(|sides| sides.map(Length::as_mm)),
        diameter_mm: line.diameter.map(Length::as_mm),
        needed: line.needed,
        spare: line.spare,
        buy: line.buy(),
        price: line.price.map(|one| one.0),
        price_line: line.price.and_then(|one| match one.1 {
            From::List(line) => Some(line),
            From::Job => None,
        }),
        cost: line.cost(),
    }
}

fn bead(run: &BeadRun, tape: Tape) -> BeadShape {
    BeadShape {
        at: bead_at_words(run.at),
        bead: bead_word(run.bead),
        diameter_mm: run.diameter.as_mm(),
        diameter: tape.print(run.diameter),
        length_mm: run.length.as_mm(),
        length: tape.print_feet(run.length),
        millilitres: run.millilitres(),
    }
}

fn hours(reckoned: &Reckoning) -> HoursShape<'_> {
    let hours = &reckoned.hours;
    HoursShape {
        lines: hours.lines.iter().map(work).collect(),
        planned: hours.planned(),
        added_by_trouble: hours.added_by_trouble(),
        without: hours.lacking().map(|one| one.work.field()).collect(),
        spent: hours.spent(),
    }
}

fn work(line: &WorkLine) -> WorkShape<'_> {
    WorkShape {
        work: line.work.field(),
        trouble: line.work.is_trouble(),
        count: line.on.len(),
        on: &line.on,
        rate: line.rate,
        planned: line.hours(),
        spent: line.spent,
    }
}
