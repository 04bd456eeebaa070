//! The parts of `setout` about what fills the way under the rail.

use super::page::{Page, Push};
use super::setout::{degrees, write_rail};
use crate::job::{Body, Infill};
use crate::measure::{Length, Tape, tolerance};
use crate::setout::{BaseSet, PanelRun, SetOut, TradePoint};

pub(super) fn write(page: &mut Page, setout: &SetOut, tape: Tape) {
    if let Some(base) = &setout.base {
        write_base(page, base, tape);
    }
    if let Some(run) = &setout.panels {
        write_panels(page, run, tape);
    }
    write_spacing(page, setout, tape);
    write_marks(page, setout, tape);
    write_fillets(page, setout, tape);
}

fn write_base(page: &mut Page, base: &BaseSet, tape: Tape) {
    let what = match base.is {
        Body::HalfWall => "half wall",
        Body::ClosedString => "closed string",
    };
    page.heading(&format!("Shoe on the {what}"));
    for rail in base.cap.iter().chain([&base.shoe]) {
        write_rail(page, rail, tape);
    }
    let (width, depth) = base.plough;
    page.wrapped(
        "      plough     ",
        &format!("{} wide, {} deep", tape.print(width), tape.print(depth)),
    );
}

fn write_panels(page: &mut Page, run: &PanelRun, tape: Tape) {
    let of = match run.of {
        Infill::Glass => "glass",
        Infill::Solid => "solid",
    };
    page.heading(&format!("Panels, {of}"));
    let mut rows = vec![
        [
            "",
            "width",
            "lower edge",
            "upper edge",
            "lower end",
            "upper end",
            "pitch",
        ]
        .map(str::to_owned)
        .to_vec(),
    ];
    rows.extend(run.panels.iter().map(|panel| {
        vec![
            panel.name.clone(),
            tape.print(panel.width),
            tape.print(panel.lower_edge),
            tape.print(panel.upper_edge),
            tape.print(panel.lower_end),
            tape.print(panel.upper_end),
            degrees(panel.pitch.angle()),
        ]
    }));
    page.table(2, &left_then_right(7), &rows);
    page.wrapped(
        "  ",
        &format!("gap at the ends and between them {}", tape.print(run.gap)),
    );
}

fn left_then_right(columns: usize) -> Vec<Push> {
    let mut pushes = vec![Push::Right; columns];
    pushes[0] = Push::Left;
    pushes
}

/// The gaps by tread. Treads with the same numbers on the tape share a line.
fn write_spacing(page: &mut Page, setout: &SetOut, tape: Tape) {
    let report = &setout.spacing;
    if let Some(least) = report.least {
        let count = setout.balusters.len();
        page.heading("Spacing");
        let says = format!("{count} along the rail; {least} at least pass the limit on gaps");
        page.wrapped("  ", &says);
    }
    if report.treads.is_empty() {
        return;
    }
    page.heading("Spacing");
    let off = |step: u32| {
        let offset = report.kick_offsets.iter().find(|one| one.step == step);
        offset.map_or_else(|| "-".to_owned(), |one| tape.print(one.off))
    };
    let told: Vec<(u32, [String; 3])> = report
        .treads
        .iter()
        .map(|tread| {
            let least = tread
                .least
                .map_or_else(|| "-".to_owned(), |least| least.to_string());
            (tread.step, [tape.print(tread.gap), off(tread.step), least])
        })
        .collect();
    let heads = ["tread", "gap", "off the kick line", "least that pass"];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    rows.extend(told.chunk_by(|a, b| a.1 == b.1).filter_map(|run| {
        let ((first, cells), (last, _)) = (run.first()?, run.last()?);
        let treads = if first == last {
            first.to_string()
        } else {
            format!("{first} to {last}")
        };
        Some([vec![treads], cells.to_vec()].concat())
    }));
    page.table(2, &left_then_right(4), &rows);
    let variation = report.variation;
    let says = if variation.abs() < Length::mm(tolerance::SAME_POINT_MM) {
        "all gaps between uprights are alike".to_owned()
    } else {
        format!(
            "gaps between uprights differ by {} at most",
            tape.print(variation)
        )
    };
    page.wrapped("  ", &says);
}

fn write_marks(page: &mut Page, setout: &SetOut, tape: Tape) {
    if setout.marks.is_empty() {
        return;
    }
    page.heading("Marks");
    let from = setout
        .gaps
        .first()
        .map_or_else(String::new, |gap| format!(" of {}", gap.below));
    let says = format!(
        "To each near face from the face{from}, all from that one end: level, and along the rail."
    );
    page.wrapped("  ", &says);
    let mut rows = vec![["", "level", "along the rail"].map(str::to_owned).to_vec()];
    rows.extend(setout.marks.iter().map(|mark| {
        vec![
            mark.part.clone(),
            tape.print(mark.level),
            tape.print(mark.rake),
        ]
    }));
    page.table(2, &left_then_right(3), &rows);
}

/// Fillets. Neighbours alike on the tape share a line.
fn write_fillets(page: &mut Page, setout: &SetOut, tape: Tape) {
    let Some(first) = setout.fillets.first() else {
        return;
    };
    page.heading("Fillets");
    page.wrapped(
        "  ",
        &format!(
            "Both ends cut at {} from square, the long points on opposite edges.",
            degrees(first.angle.angle())
        ),
    );
    let heads = [
        "in",
        "between",
        "each edge",
        "long points",
        "width",
        "thickness",
    ];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    let alike = |a: &crate::setout::Fillet, b: &crate::setout::Fillet| {
        a.piece == b.piece && tape.print(a.edge) == tape.print(b.edge)
    };
    rows.extend(setout.fillets.chunk_by(alike).filter_map(|run| {
        let (first, last) = (run.first()?, run.last()?);
        let each = if run.len() > 1 { ", each" } else { "" };
        Some(vec![
            first.piece.clone(),
            format!("{} to {}{each}", first.below, last.above),
            tape.print(first.edge),
            tape.print(first.long_points),
            tape.print(first.width),
            tape.print(first.thickness),
        ])
    }));
    let mut pushes = left_then_right(6);
    pushes[1] = Push::Left;
    page.table(2, &pushes, &rows);
}

/// What wandering reveals and leaning balusters cost each other.
pub(super) fn write_trade(page: &mut Page, setout: &SetOut, tape: Tape) {
    let wanders = |point: &TradePoint| point.reveal_range.as_mm() > tolerance::SAME_POINT_MM;
    if setout.balusters.is_empty() || !setout.on_treads() || !setout.trade.iter().any(wanders) {
        return;
    }
    page.heading("Plumb balusters or even reveals");
    let heads = ["share", "reveals wander by", "greatest lean"];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    rows.extend(setout.trade.iter().map(|point| {
        vec![
            format!("{:.2}", point.share),
            tape.print(point.reveal_range),
            tape.print(point.worst_lean),
        ]
    }));
    page.table(2, &[Push::Right; 3], &rows);
}
