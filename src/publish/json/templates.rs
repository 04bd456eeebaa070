//! The shape of `templates --json`.

use nalgebra::Point2;
use serde::Serialize;

use super::{FORMAT, program, text_of};
use crate::measure::Tape;
use crate::publish::edge_word;
use crate::publish::full_size::{
    Options, SheetOf, TemplateFile, kind_word, named, rise_in_run, svg, svg_name, title,
};
use crate::publish::paper::OVERLAP;
use crate::shop::templates::{Bore, Distance, NamedAngle, Stroke, StrokeKind, Template};

#[derive(Serialize)]
struct Answer<'a> {
    format: u32,
    program: String,
    job: &'a str,
    paper: PaperShape,
    templates: Vec<TemplateShape<'a>>,
}

#[derive(Serialize)]
pub(super) struct PaperShape {
    name: String,
    width_mm: f64,
    height_mm: f64,
    margin_mm: f64,
    overlap_mm: f64,
}

impl PaperShape {
    pub(super) fn of(options: &Options) -> Self {
        Self {
            name: options.paper.to_string(),
            width_mm: options.paper.width,
            height_mm: options.paper.height,
            margin_mm: options.margin,
            overlap_mm: OVERLAP,
        }
    }
}

#[derive(Serialize)]
struct TemplateShape<'a> {
    name: &'a str,
    run: &'a str,
    kind: &'static str,
    title: String,
    part: &'a str,
    fits: &'a str,
    datum: String,
    lines: Vec<LineShape>,
    waste: Vec<RingShape>,
    bores: Vec<BoreShape<'a>>,
    distances: Vec<DistanceShape>,
    angles: Vec<AngleShape<'a>>,
    file: String,
    svg: String,
    svg_origin_mm: [f64; 2],
    pages: Vec<PageShape>,
}

#[derive(Serialize)]
struct LineShape {
    is: &'static str,
    name: String,
    points_mm: Vec<[f64; 2]>,
    closed: bool,
    length_mm: f64,
    length: String,
}

#[derive(Serialize)]
struct RingShape {
    ring_mm: Vec<[f64; 2]>,
}

#[derive(Serialize)]
struct BoreShape<'a> {
    part: &'a str,
    at_mm: [f64; 2],
    diameter_mm: f64,
    diameter: String,
    depth_mm: f64,
    depth: String,
    from: [&'static str; 2],
    off_mm: [f64; 2],
    off: [String; 2],
    from_square_deg: f64,
}

#[derive(Serialize)]
struct DistanceShape {
    from: &'static str,
    at_mm: [f64; 2],
    is_mm: f64,
    is: String,
}

#[derive(Serialize)]
struct AngleShape<'a> {
    what: &'a str,
    is_deg: f64,
    rise_in_run: String,
}

#[derive(Serialize)]
struct PageShape {
    page: usize,
    origin_mm: [f64; 2],
    window_mm: [f64; 4],
    left: Option<usize>,
    right: Option<usize>,
    above: Option<usize>,
    below: Option<usize>,
}

/// The templates of a job as JSON, by their files.
#[must_use]
pub fn templates(job: &str, files: &[TemplateFile], options: &Options) -> String {
    let templates = files.iter().flat_map(|file| {
        let each = file.templates.iter().enumerate();
        each.map(|(at, template)| shape(job, file, at, template, options.tape))
    });
    text_of(&Answer {
        format: FORMAT,
        program: program(),
        job,
        paper: PaperShape::of(options),
        templates: templates.collect(),
    })
}

fn shape<'a>(
    job: &str,
    file: &TemplateFile,
    at: usize,
    template: &'a Template,
    tape: Tape,
) -> TemplateShape<'a> {
    let sheets = file.printed.sheets.iter().filter(|sheet| sheet.of == at);
    let (_, origin) = svg(job, template, tape);
    TemplateShape {
        name: &template.name,
        run: &template.run,
        kind: kind_word(template.kind),
        title: title(template),
        part: &template.part,
        fits: &template.fits,
        datum: named(&template.datum),
        lines: template.strokes.iter().map(|one| line(one, tape)).collect(),
        waste: template
            .waste
            .iter()
            .map(|ring| RingShape {
                ring_mm: ring.iter().map(xy).collect(),
            })
            .collect(),
        bores: template.bores.iter().map(|one| bore(one, tape)).collect(),
        distances: template
            .distances
            .iter()
            .map(|one| distance(one, tape))
            .collect(),
        angles: template.angles.iter().map(|one| angle(one, tape)).collect(),
        file: format!("{}.pdf", file.name),
        svg: svg_name(file, at),
        svg_origin_mm: [origin.0, origin.1],
        pages: sheets.map(page).collect(),
    }
}

fn xy(at: &Point2<f64>) -> [f64; 2] {
    [at.x, at.y]
}

const fn is(kind: StrokeKind) -> &'static str {
    match kind {
        StrokeKind::Datum => "datum",
        StrokeKind::Cut => "cut",
        StrokeKind::Edge => "edge",
        StrokeKind::Fold => "fold",
        StrokeKind::Guide => "guide",
        StrokeKind::Instead => "instead",
    }
}

fn line(stroke: &Stroke, tape: Tape) -> LineShape {
    LineShape {
        is: is(stroke.kind),
        name: named(&stroke.name),
        points_mm: stroke.points.iter().map(xy).collect(),
        closed: stroke.closed,
        length_mm: stroke.length().as_mm(),
        length: tape.print(stroke.length()),
    }
}

fn bore(bore: &Bore, tape: Tape) -> BoreShape<'_> {
    BoreShape {
        part: &bore.part,
        at_mm: xy(&bore.at),
        diameter_mm: bore.diameter.as_mm(),
        diameter: tape.print(bore.diameter),
        depth_mm: bore.depth.as_mm(),
        depth: tape.print(bore.depth),
        from: bore.off.map(|(edge, _)| edge_word(edge)),
        off_mm: bore.off.map(|(_, off)| off.as_mm()),
        off: bore.off.map(|(_, off)| tape.print(off)),
        from_square_deg: bore.from_square.as_degrees(),
    }
}

fn distance(one: &Distance, tape: Tape) -> DistanceShape {
    DistanceShape {
        from: edge_word(one.edge),
        at_mm: xy(&one.to),
        is_mm: one.is.as_mm(),
        is: tape.print(one.is),
    }
}

fn angle(one: &NamedAngle, tape: Tape) -> AngleShape<'_> {
    AngleShape {
        what: &one.what,
        is_deg: one.is.as_degrees(),
        rise_in_run: rise_in_run(one.is, tape),
    }
}

fn page(sheet: &SheetOf) -> PageShape {
    let [left, right, above, below] = sheet.beside;
    let (x, y, width, height) = sheet.window;
    PageShape {
        page: sheet.page,
        origin_mm: [sheet.origin.0, sheet.origin.1],
        window_mm: [x, y, width, height],
        left,
        right,
        above,
        below,
    }
}
