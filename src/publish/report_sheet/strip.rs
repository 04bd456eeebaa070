//! Reveals as bars, one for every tread end: what wanders is seen at a glance.

use super::content::{Bar, Strip};
use crate::publish::drawing::{Drawing, Ink};
use crate::publish::pdf::{Canvas, Pen, Push, Style};

/// The tallest bar, mm.
const TALL: f64 = 15.0;
/// Over the bars for their values, and under them for their treads.
const OVER: f64 = 4.0;
const UNDER: f64 = 6.4;
/// The narrowest room for a bar with its value, mm.
const NARROWEST: f64 = 7.2;

/// The strips of a width in mm: as many as it takes for the values to be read.
pub(super) fn strips(strip: &Strip, width: f64) -> Vec<Drawing> {
    let fit = (width / NARROWEST).floor().max(1.0) as usize;
    let rows = strip.bars.len().div_ceil(fit).max(1);
    let each = strip.bars.len().div_ceil(rows).max(1);
    strip
        .bars
        .chunks(each)
        .map(|bars| row(strip, bars, each, width))
        .collect()
}

fn row(strip: &Strip, bars: &[Bar], each: usize, width: f64) -> Drawing {
    let mut canvas = Canvas::default();
    let step = (width / each as f64).min(2.0 * NARROWEST);
    let base = OVER + TALL;
    let small = Style::regular(5.6, Ink::PENCIL);
    let under = Style::regular(5.4, Ink::SOFT);
    let mut left = 0.0;
    let mut tread = None;
    for bar in bars {
        let tall = TALL * bar.share;
        let wide = 0.62 * step;
        let x = left + (step - wide) / 2.0;
        let fill = if bar.end { Ink::OCHRE_WASH } else { Ink::SHEET };
        let pen = Pen::new(Ink::PENCIL, if bar.end { 0.35 } else { 0.15 });
        canvas.rect((x, base - tall), (wide, tall), Some(pen), Some(fill));
        let middle = left + step / 2.0;
        let over = if bar.end {
            Style::bold(5.6, Ink::PENCIL)
        } else {
            small
        };
        let top = (middle, base - tall - 1.0);
        canvas.fitted(top, Push::Centre, &bar.text, over, step - 0.4);
        let name = bar.part.rsplit('.').next().unwrap_or(&bar.part);
        canvas.fitted((middle, base + 2.6), Push::Centre, name, under, step - 0.4);
        if tread != Some(bar.tread) {
            tread = Some(bar.tread);
            let style = Style::bold(5.4, Ink::SOFT);
            let name = format!("T{}", bar.tread);
            canvas.fitted((x, base + 5.4), Push::Left, &name, style, step - 0.4);
            canvas.line(
                &[(left, base), (left, base + 5.6)],
                Pen::new(Ink::FAINT, 0.15),
            );
        }
        left += step;
    }
    canvas.line(&[(0.0, base), (left, base)], Pen::new(Ink::PENCIL, 0.3));
    Drawing {
        width,
        height: base + UNDER,
        canvas,
        says: format!("{}, up the flight. {}", strip.called, strip.says),
    }
}
