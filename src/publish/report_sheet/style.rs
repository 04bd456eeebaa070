//! The look of the page: paper, pencil, chalk; on paper without its tint.

use crate::publish::drawing::{Ink, colour};

/// The style sheet, its colours those of the drawings.
pub(super) fn css() -> String {
    let mut css = CSS.to_owned();
    for (name, shade) in [
        ("PENCIL", Ink::PENCIL),
        ("SOFT", Ink::SOFT),
        ("FAINT", Ink::FAINT),
        ("CARD", Ink::CARD),
        ("SHEET", Ink::SHEET),
        ("CHALK", Ink::CHALK),
        ("CRAYON", Ink::CRAYON),
        ("OCHRE", Ink::OCHRE),
        ("SLATE", Ink::SLATE),
    ] {
        css = css.replace(&format!("${name}"), &colour(shade));
    }
    css
}

const CSS: &str = "\
:root { color-scheme: light; }
* { box-sizing: border-box; }
html { background: $SHEET; }
body { margin: 0; color: $PENCIL; font: 1rem/1.5 'IBM Plex Sans', 'Segoe UI', 'Helvetica Neue', \
Arial, sans-serif; font-variant-numeric: tabular-nums; overflow-wrap: anywhere; }
main { max-width: 54rem; margin: 0 auto; padding: 1.5rem 1.75rem 3rem; background: $CARD; }
h1, h2, h3, h4 { line-height: 1.25; break-after: avoid; }
h1 { margin: 0 0 .5rem; font-size: 1.9rem; }
h2 { margin: 2.25rem 0 .5rem; padding-top: .75rem; border-top: 2px solid $PENCIL; \
font-size: 1.25rem; color: $CHALK; }
h3 { margin: 0 0 .5rem; font-size: 1.05rem; }
h4 { margin: .75rem 0 .25rem; font-size: .9rem; }
p { margin: .4rem 0; }
.kind { margin: 0; color: $CHALK; font-weight: 600; }
.verdict { margin: 1rem 0 .5rem; font-size: 1.3rem; font-weight: 600; }
.aside, figcaption { color: $SOFT; font-size: .875rem; }
.stands { font-weight: 600; margin: .3rem 0; }
dl { margin: .5rem 0; }
dl.about, dl.facts { display: flex; flex-wrap: wrap; gap: .25rem 1.5rem; }
dl.about div, dl.facts div { display: flex; gap: .5rem; align-items: baseline; }
dt { color: $SOFT; font-size: .875rem; }
dd { margin: 0; }
.blank { display: inline-block; min-width: 10rem; border-bottom: 1px solid $PENCIL; \
color: $SOFT; font-size: .8rem; }
.legend { display: flex; flex-wrap: wrap; gap: .15rem 1.25rem; margin: .5rem 0; padding: 0; \
list-style: none; font-size: .875rem; }
svg.mark { height: .8em; width: auto; margin-right: .4em; vertical-align: -.06em; }
figure { margin: 1rem 0; break-inside: avoid; }
figure svg, figure img { display: block; width: 100%; height: auto; }
figure.large svg { max-width: var(--wide); min-width: min(34rem, var(--wide)); margin: 0 auto; }
.shift { overflow-x: auto; }
svg text { font-family: 'IBM Plex Sans', 'Segoe UI', 'Helvetica Neue', Arial, sans-serif; }
.trouble { margin: 1rem 0; padding: .9rem 1rem; border: 1px solid $FAINT; \
border-left: 5px solid $SLATE; background: #fff; break-inside: avoid; }
.trouble.stop { border-left-color: $CRAYON; }
.trouble.fix { border-left-color: $OCHRE; border-left-style: dashed; }
.trouble.remark { border-left-style: dotted; }
.trouble::after { content: ''; display: block; clear: both; }
.trouble .number { display: inline-block; min-width: 1.4em; }
.severity { margin-right: .6em; font-size: .85rem; }
.stop .severity { color: $CRAYON; }
.fix .severity { color: $OCHRE; }
.remark .severity { color: $SLATE; }
figure.close { float: right; width: 15rem; max-width: 45%; margin: 0 0 .5rem 1rem; }
.answer { white-space: nowrap; }
table { width: 100%; border-collapse: collapse; font-size: .925rem; }
table.because { width: auto; margin: .5rem 0; }
th, td { padding: .3rem .6rem .3rem 0; border-bottom: 1px solid $FAINT; text-align: left; \
vertical-align: top; font-weight: 400; }
thead th { color: $SOFT; font-size: .85rem; font-weight: 600; border-bottom-color: $PENCIL; }
tr { break-inside: avoid; }
.right { text-align: right; white-space: nowrap; }
.centre { text-align: center; }
.aloud { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); }
.said li { margin: .35rem 0; }
ol { margin: .25rem 0; padding-left: 1.5rem; }
.signers td { height: 3.2rem; border-bottom: 1px solid $PENCIL; }
.signers th[scope=row] { vertical-align: bottom; font-weight: 600; }
.sign { break-inside: avoid; }
@media (max-width: 40rem) {
  main { padding: 1rem; }
  h1 { font-size: 1.5rem; }
  figure.close { float: none; width: auto; max-width: 20rem; margin: .5rem 0; }
  table.wide, table.wide tbody, table.wide tr, table.wide th, table.wide td { display: block; }
  table.wide thead { display: none; }
  table.wide tr { padding: .5rem 0; border-bottom: 1px solid $FAINT; }
  table.wide th, table.wide td { padding: 0; border: 0; text-align: left; white-space: normal; }
  table.wide td:not(:empty)::before, table.wide th.right::before { content: attr(data-head) ': '; \
color: $SOFT; font-size: .85rem; }
}
@page { margin: 14mm 14mm 16mm; }
@media print {
  html, main { background: #fff; }
  body { font-size: 9.5pt; }
  main { max-width: none; padding: 0; }
  .shift { overflow: visible; }
  figure.large svg { min-width: 0; }
}
";

#[cfg(test)]
mod tests {
    use super::*;
    use crate::publish::pdf::Shade;

    /// WCAG 2.1, "relative luminance" and "contrast ratio".
    fn luminance(Shade(red, green, blue): Shade) -> f64 {
        let linear = |part: u8| {
            let part = f64::from(part) / 255.0;
            if part <= 0.039_28 {
                part / 12.92
            } else {
                ((part + 0.055) / 1.055).powf(2.4)
            }
        };
        0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue)
    }

    fn contrast(a: Shade, b: Shade) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn every_ink_stands_out_from_the_paper() {
        // WCAG 2.1, 1.4.3 (AA): 4.5 to 1. Its own example: grey 118 on white is the lightest grey.
        let white = Shade(255, 255, 255);
        assert!(contrast(Shade(118, 118, 118), white) >= 4.5);
        assert!(contrast(Shade(119, 119, 119), white) < 4.5);
        let inks = [
            Ink::PENCIL,
            Ink::SOFT,
            Ink::CHALK,
            Ink::CRAYON,
            Ink::OCHRE,
            Ink::SLATE,
        ];
        for ink in inks {
            for paper in [white, Ink::CARD, Ink::SHEET] {
                let ratio = contrast(ink, paper);
                assert!(ratio >= 4.5, "{ink:?} on {paper:?}: {ratio:.2}");
            }
        }
        // Numbers on flags.
        for flag in [Ink::CRAYON, Ink::OCHRE] {
            assert!(contrast(Ink::CARD, flag) >= 4.5);
        }
    }

    #[test]
    fn every_colour_of_the_page_has_its_ink() {
        let css = css();
        assert!(!css.contains('$'), "a colour without its ink");
    }
}
