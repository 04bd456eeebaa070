//! Winders against the rule pack: depth on the walk line, depth where they are narrowest, and how
//! far they differ.

use nalgebra::{Point2, Point3};

use crate::measure::{Length, Tape};
use crate::rules::{Pack, Quantity, Rule, Sense};
use crate::site::winders::{WalkDepth, WinderSite};

use super::railing::{Limit, exact};
use super::{Finding, Key, Kind, Severity};

/// Every finding about winders, their parts named with a mark before them as in
/// [`crate::solids::winder_parts`]; places are in the winders' frame. Depths are judged on the line
/// that the job gives, else on the pack's; a pack that has nothing on winders finds nothing.
#[must_use]
pub fn winder_findings(site: &WinderSite, mark: &str, pack: &Pack, tape: Tape) -> Vec<Finding> {
    let judged = Judged {
        site,
        mark,
        pack,
        tape,
    };
    let lines: Vec<(Length, Vec<WalkDepth>)> = judged
        .lines()
        .into_iter()
        .map(|line| (line, site.depths(line)))
        .collect();
    let mut found = judged.on_walk_line(&lines);
    found.extend(judged.narrowest());
    found.extend(judged.variation(&lines));
    found.extend(judged.rises(Quantity::RiseMax));
    found.extend(judged.rises(Quantity::RiseLeast));
    found.extend(judged.slopes());
    found
}

struct Judged<'a> {
    site: &'a WinderSite,
    mark: &'a str,
    pack: &'a Pack,
    tape: Tape,
}

impl Judged<'_> {
    /// The lines that depths are judged on, each by its distance from the narrow side.
    fn lines(&self) -> Vec<Length> {
        let width = Length::mm(self.site.width);
        match (self.site.walk_line, &self.pack.winders_at) {
            (Some(line), _) => vec![line],
            (None, Some(at)) => at.lines(width, self.site.handrail),
            (None, None) => Vec::new(),
        }
    }

    fn rule(&self, quantity: Quantity) -> Option<(&Rule, Length)> {
        let rule = self.pack.rule(quantity)?;
        Some((rule, rule.length()?))
    }

    fn key(&self, kind: Kind, part: &str, step: u32, more: &[&str]) -> Key {
        let first = format!("{}{part}{step}", self.mark);
        let parts = std::iter::once(first).chain(more.iter().map(ToString::to_string));
        Key {
            kind,
            parts: parts.collect(),
        }
    }

    /// A place on a tread's top, or where its kick stands.
    fn at(&self, step: u32, plan: &Point2<f64>) -> Point3<f64> {
        let tread = self.site.treads.iter().find(|tread| tread.number == step);
        Point3::new(plan.x, plan.y, tread.map_or(0.0, |tread| tread.top(plan)))
    }

    /// Each winder on the line where it is least deep.
    fn on_walk_line(&self, lines: &[(Length, Vec<WalkDepth>)]) -> Vec<Finding> {
        let Some((rule, limit)) = self.rule(Quantity::WinderWalkDepth) else {
            return Vec::new();
        };
        let of_tread = |step: u32| {
            lines
                .iter()
                .flat_map(|(line, depths)| depths.iter().map(move |depth| (*line, depth)))
                .filter(|(_, depth)| depth.step == step)
                .min_by(|a, b| a.1.depth().total_cmp(&b.1.depth()))
        };
        let worst = self
            .site
            .treads
            .iter()
            .filter_map(|one| of_tread(one.number));
        worst
            .map(|(line, depth)| {
                let says = format!(
                    "winder {}{} is {} deep on the walk line, {} from its narrow side \
                     ({} along the line); at least {} is asked",
                    self.mark,
                    depth.step,
                    self.tape.print(depth.depth()),
                    self.tape.print(line),
                    self.tape.print(depth.arc),
                    self.tape.print(limit)
                );
                let middle = nalgebra::center(&depth.from, &depth.to);
                finding(
                    self.key(Kind::WinderWalkDepth, "T", depth.step, &[]),
                    depth.depth(),
                    (rule, limit),
                    self.at(depth.step, &middle),
                    says,
                )
            })
            .collect()
    }

    fn narrowest(&self) -> Vec<Finding> {
        let Some((rule, limit)) = self.rule(Quantity::WinderLeastDepth) else {
            return Vec::new();
        };
        let all = self.site.narrowest();
        all.iter()
            .map(|narrow| {
                let says = format!(
                    "winder {}{} is {} deep where it is narrowest; at least {} is asked",
                    self.mark,
                    narrow.step,
                    self.tape.print(narrow.least),
                    self.tape.print(limit)
                );
                finding(
                    self.key(Kind::WinderLeastDepth, "T", narrow.step, &[]),
                    narrow.least,
                    (rule, limit),
                    self.at(narrow.step, &narrow.at),
                    says,
                )
            })
            .collect()
    }

    /// The greatest depth less the least, on the line where they differ most.
    fn variation(&self, lines: &[(Length, Vec<WalkDepth>)]) -> Option<Finding> {
        let (rule, limit) = self.rule(Quantity::WinderVariation)?;
        let ends = lines.iter().filter_map(|(_, depths)| {
            let by = |a: &&WalkDepth, b: &&WalkDepth| a.depth().total_cmp(&b.depth());
            Some((depths.iter().min_by(by)?, depths.iter().max_by(by)?))
        });
        let range = |(least, most): &(&WalkDepth, &WalkDepth)| most.depth() - least.depth();
        let (least, most) = ends.max_by(|a, b| range(a).total_cmp(&range(b)))?;
        let value = range(&(least, most));
        let says = format!(
            "the winders' depths on the walk line differ by {} ({}T{} {}, {}T{} {}); \
             at most {} is asked",
            self.tape.print(value),
            self.mark,
            least.step,
            self.tape.print(least.depth()),
            self.mark,
            most.step,
            self.tape.print(most.depth()),
            self.tape.print(limit)
        );
        let key = Key {
            kind: Kind::WinderVariation,
            parts: vec![format!("{}winders", self.mark)],
        };
        let at = self.at(least.step, &least.from);
        Some(finding(key, value, (rule, limit), at, says))
    }

    fn rises(&self, quantity: Quantity) -> Vec<Finding> {
        let Some((rule, limit)) = self.rule(quantity) else {
            return Vec::new();
        };
        let side = if rule.sense == Sense::AtLeast {
            "at least"
        } else {
            "at most"
        };
        let treads = self.site.treads.iter();
        treads
            .map(|tread| {
                let value = Length::mm(tread.rise);
                let says = format!(
                    "kick {}{} rises {}; {side} {} is asked",
                    self.mark,
                    tread.number,
                    self.tape.print(value),
                    self.tape.print(limit)
                );
                let at = Point3::new(
                    tread.about.x,
                    tread.about.y,
                    tread.height - tread.rise / 2.0,
                );
                let key = self.key(Kind::Rise, "K", tread.number, &[side]);
                finding(key, value, (rule, limit), at, says)
            })
            .collect()
    }

    /// How far each winder is out of level, whichever way it falls, over its clear width.
    fn slopes(&self) -> Vec<Finding> {
        let Some(rule) = self.pack.rule(Quantity::TreadSlope) else {
            return Vec::new();
        };
        let limit = rule.limit.over(Length::mm(self.site.width));
        let treads = self.site.treads.iter();
        treads
            .map(|tread| {
                let value = Length::mm(tread.climb.norm() * self.site.width);
                let says = format!(
                    "winder {}{} is out of level by {} over its width; at most {} is asked",
                    self.mark,
                    tread.number,
                    self.tape.print(value),
                    self.tape.print(limit)
                );
                let at = Point3::new(tread.about.x, tread.about.y, tread.height);
                let key = self.key(Kind::TreadSlope, "T", tread.number, &[]);
                finding(key, value, (rule, limit), at, says)
            })
            .collect()
    }
}

fn finding(
    key: Key,
    value: Length,
    (rule, limit): (&Rule, Length),
    at: Point3<f64>,
    says: String,
) -> Finding {
    let limit = Limit {
        limit,
        sense: rule.sense,
        source: &rule.clause,
    };
    exact(key, value, limit, Severity::Stop, at, says)
}
