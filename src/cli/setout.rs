//! `setout`: where every part stands and how it is cut.

use super::args::Setout;
use super::page::{Page, Push};
use super::{Outcome, bedding, built, dry_fit, infill, rails, received, source, talk, turns};
use crate::chain::{self, Chain, Fitted, RunChain};
use crate::job::{Job, Material};
use crate::measure::{Angle, Length, Tape};
use crate::publish::json;
use crate::publish::shop::corners_told;
use crate::setout::built::BuiltDifference;
use crate::setout::{BalusterSet, EndCut, Gap, NewelSet, Notch, RailSet, SetOut, WindowReport};

pub(super) fn run(command: &Setout) -> Outcome {
    let loaded = source::load_way(command.job.as_deref(), command.alternative.as_deref());
    let source = match loaded {
        Ok(source) => source.on_tape(command.tape.map(Tape::from)),
        Err(outcome) => return outcome,
    };
    let chain = match source::chain(&source) {
        Ok(chain) => chain,
        Err(outcome) => return outcome,
    };
    if let Some(newel) = &command.fit {
        return dry_fit::run(&source, &chain, newel, command.json);
    }
    let fitted = match chain::fitted(&chain) {
        Ok(fitted) => fitted,
        Err(error) => return source::say_chain_fault(&source, error),
    };
    let built = match built::differences(&source, &chain) {
        Ok(built) => built,
        Err(outcome) => return outcome,
    };
    let text = if command.json {
        json::setout(source.job(), &chain, &fitted, &built)
    } else {
        written(source.job(), &chain, &fitted, &built)
    };
    talk::answer(&text, Outcome::Clean)
}

fn written(job: &Job, chain: &Chain, fitted: &[Fitted], built: &[BuiltDifference]) -> String {
    let mut page = Page::default();
    page.heading(&job.name);
    page.wrapped("", FRAME);
    let several = chain.runs.len() > 1;
    for (run, fitted) in chain.runs.iter().zip(fitted) {
        turns::write_winders(&mut page, run, &chain.pack, job.tape);
        if several {
            write_place(&mut page, run, job.tape);
        }
        write_run(&mut page, &run.setout, job.tape);
        turns::write(&mut page, run, chain, job.tape);
        super::boards::write(&mut page, &run.run.job, &run.boards());
        bedding::write(&mut page, fitted.bedded.as_ref(), job.tape);
        received::write(&mut page, fitted.received.as_ref(), job.tape);
    }
    built::write(&mut page, built, job.tape);
    page.text()
}

/// Which run it is, and where it starts.
fn write_place(page: &mut Page, run: &RunChain, tape: Tape) {
    let what = match (&run.run.beside, &run.run.job.level) {
        (Some(_), _) => "the railing on its wall side",
        (None, Some(_)) => "a level run",
        (None, None) => "a flight",
    };
    page.heading(&format!("Run {}: {what}", run.run.name));
    if run.run.beside.is_some() {
        page.wrapped(
            "  ",
            "Sideways distances of this railing are from a baluster line of its own, towards the \
             wall side positive.",
        );
    }
    if run.run.starts.is_some() || run.run.beside.is_some() {
        page.wrapped(
            "  ",
            &format!(
                "It starts {} above the first run's floor, {} forward of its first kick and {} to \
                 the left of its baluster line, turned by {}.",
                at(run.frame.origin.z, tape),
                at(run.frame.origin.x, tape),
                at(run.frame.origin.y, tape),
                degrees(run.frame.turn),
            ),
        );
    }
}

fn write_run(page: &mut Page, setout: &SetOut, tape: Tape) {
    if setout.all_newels().next().is_some() || !setout.half_newels.is_empty() {
        page.heading("Newels");
    }
    for newel in &setout.newels {
        write_newel(page, newel, tape);
        rails::newel(page, newel, tape);
    }
    for newel in &setout.given {
        page.wrapped(
            &format!("  {}  ", newel.name),
            "an earlier run's newel, in which this run's rail begins or ends; cut for it in this run:",
        );
        write_cuts(page, newel, tape);
        rails::cuts(page, newel, tape);
    }
    for half in &setout.half_newels {
        rails::half_newel(page, half, tape);
    }
    page.heading("Rail");
    write_rail(page, &setout.rail, tape);
    write_window(page, &setout.rail.window, tape);
    rails::fittings(page, &setout.rail, tape);
    if let Some(rail) = &setout.bottom_rail {
        page.heading("Bottom rail");
        write_rail(page, rail, tape);
    }
    if let Some(rail) = &setout.wall_rail {
        rails::wall_rail(page, rail, tape);
        write_window(page, &rail.window, tape);
    }
    write_balusters(page, &setout.balusters, tape);
    write_gaps(page, &setout.gaps, tape);
    infill::write(page, setout, tape);
    write_line(page, setout, tape);
    infill::write_trade(page, setout, tape);
}

const FRAME: &str = "Forward distances run level up the flight from the finished face of the first \
                     kick; sideways ones from the string that the treads were read from, towards \
                     the open side positive.";

pub(super) fn degrees(angle: Angle) -> String {
    // Negative zero would print as -0.0.
    let rounded = (angle.as_degrees() * 10.0).round() / 10.0 + 0.0;
    format!("{rounded:.1}\u{b0}")
}

fn at(mm: f64, tape: Tape) -> String {
    tape.print(Length::mm(mm))
}

fn write_newel(page: &mut Page, newel: &NewelSet, tape: Tape) {
    let kick = newel.face_from_kick.map_or_else(String::new, |face| {
        let face = tape.print(face);
        let which = if newel.at_foot { "uphill" } else { "downhill" };
        format!("; its {which} face stands {face} behind the kick's face")
    });
    page.wrapped(
        &format!("  {}  ", newel.name),
        &format!(
            "{} by {}, {} long; centre {} forward{kick}",
            tape.print(newel.along),
            tape.print(newel.across),
            tape.print(newel.height),
            at(newel.foot.x, tape),
        ),
    );
    write_cuts(page, newel, tape);
}

/// What is cut for a newel, and what stands behind.
fn write_cuts(page: &mut Page, newel: &NewelSet, tape: Tape) {
    for notch in &newel.notches {
        write_notch(page, notch, tape);
    }
    for behind in &newel.behind {
        let carries = if behind.carries {
            "; it carries load: ask an engineer"
        } else {
            ""
        };
        page.wrapped(
            "      behind  ",
            &format!(
                "{}: {} into it, {} of it remains{carries}",
                behind.part,
                tape.print(behind.depth),
                tape.print(behind.remains),
            ),
        );
    }
}

fn write_notch(page: &mut Page, notch: &Notch, tape: Tape) {
    page.wrapped(
        &format!("      notch   in tread {}: ", notch.step),
        &format!(
            "{} in from the nosing, {} in from the open end, {} of it behind the kick's face; \
             {}",
            tape.print(notch.from_nosing),
            tape.print(notch.from_open_end),
            tape.print(notch.behind_kick_face),
            corners_told(&notch.sides, &notch.angles, tape),
        ),
    );
}

pub(super) fn write_rail(page: &mut Page, rail: &RailSet, tape: Tape) {
    page.wrapped(
        &format!("  {}  ", rail.name),
        &format!(
            "{} by {}, at {}; {} between long points, {} between short points",
            tape.print(rail.width),
            tape.print(rail.depth),
            degrees(rail.pitch.angle()),
            tape.print(rail.long_points),
            tape.print(rail.short_points),
        ),
    );
    page.line(&format!("      lower cut  {}", cut(&rail.lower_cut)));
    page.line(&format!("      upper cut  {}", cut(&rail.upper_cut)));
}

pub(super) fn cut(cut: &EndCut) -> String {
    format!("mitre {}, bevel {}", degrees(cut.mitre), degrees(cut.bevel))
}

/// What a height was measured over.
fn over(step: u32) -> String {
    match step {
        0 => "the floor".to_owned(),
        step => format!("nosing {step}"),
    }
}

fn write_window(page: &mut Page, window: &WindowReport, tape: Tape) {
    let (low, high) = (window.lowest, window.highest);
    let asked = match window.asked {
        (Some(low), Some(high)) => {
            format!("; asked {} to {}", tape.print(low), tape.print(high))
        }
        (Some(low), None) => format!("; asked at least {}", tape.print(low)),
        (None, Some(high)) => format!("; asked at most {}", tape.print(high)),
        (None, None) => String::new(),
    };
    page.wrapped(
        "      height     ",
        &format!(
            "{} over {} to {} over {}{asked}",
            tape.print(low.0),
            over(low.1),
            tape.print(high.0),
            over(high.1)
        ),
    );
    if let Some((steps, short)) = &window.killed_by {
        let steps: Vec<String> = steps.iter().map(u32::to_string).collect();
        page.wrapped(
            "      ",
            &format!(
                "No straight rail passes: nosings {} leave no room; each limit would have to give \
                 {}.",
                steps.join(", "),
                tape.print(*short)
            ),
        );
    }
}

fn write_balusters(page: &mut Page, balusters: &[BalusterSet], tape: Tape) {
    if balusters.is_empty() {
        return;
    }
    let of = match balusters[0].of {
        Material::Wood => "",
        Material::Metal => ", metal",
    };
    page.heading(&format!("Balusters{of}"));
    let heads = [
        "",
        "tread",
        "forward",
        "long point",
        "short point",
        "lean",
        "top cut",
        "foot cut",
    ];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    rows.extend(balusters.iter().map(|baluster| {
        vec![
            baluster.name.clone(),
            baluster.step.to_string(),
            at(baluster.foot.x, tape),
            tape.print(baluster.long_point),
            tape.print(baluster.short_point),
            tape.print(baluster.lean),
            degrees(baluster.top_angle),
            degrees(baluster.foot_angle),
        ]
    }));
    let mut pushes = [Push::Right; 8];
    pushes[0] = Push::Left;
    page.table(2, &pushes, &rows);
}

fn write_gaps(page: &mut Page, gaps: &[Gap], tape: Tape) {
    if gaps.is_empty() {
        return;
    }
    page.heading("Gaps");
    // Neighbours with the same gap on the tape share a line.
    let rows: Vec<Vec<String>> = gaps
        .chunk_by(|a, b| tape.print(a.clear) == tape.print(b.clear))
        .filter_map(|run| {
            let (first, last) = (run.first()?, run.last()?);
            let each = if run.len() > 1 { ", each" } else { "" };
            let where_ = format!("{} to {}{each}", first.below, last.above);
            Some(vec![where_, tape.print(first.clear)])
        })
        .collect();
    page.table(2, &[Push::Left, Push::Right], &rows);
}

fn write_line(page: &mut Page, setout: &SetOut, tape: Tape) {
    let line = &setout.line;
    let drift = Length::inches(120.0) * line.slope;
    page.heading("Baluster line");
    // On a shoe, a bottom rail or panels no tread ends beside what stands there.
    let reveals = if setout.on_treads() {
        let worst = tape.print(line.worst);
        format!("; no reveal is further than {worst} from what was wanted")
    } else {
        String::new()
    };
    page.wrapped(
        "  ",
        &format!(
            "{} towards the open side where it starts, and {} more in every 10 feet on{reveals}",
            tape.print(line.at_foot),
            tape.print(drift),
        ),
    );
}
