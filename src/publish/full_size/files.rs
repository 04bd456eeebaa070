//! Templates as files: one for each, the gauges together; names that no two share.

use std::collections::BTreeSet;

use super::{Options, Printed, name_for_file, print, print_together};
use crate::publish::paper::PaperError;
use crate::shop::templates::{Template, TemplateKind};

/// One file of templates.
#[derive(Clone, Debug, PartialEq)]
pub struct TemplateFile {
    /// Its name without an ending.
    pub name: String,
    /// The templates on it.
    pub templates: Vec<Template>,
    /// Its pages.
    pub printed: Printed,
}

/// Every template on paper.
///
/// # Errors
/// [`PaperError`] where the paper will not do, with what would.
pub fn files(
    job: &str,
    templates: &[Template],
    options: &Options,
) -> Result<Vec<TemplateFile>, PaperError> {
    options.check()?;
    let is_gauge = |one: &&Template| one.kind == TemplateKind::Gauge;
    let mut names = BTreeSet::new();
    let mut files = Vec::new();
    for one in templates.iter().filter(|one| !is_gauge(one)) {
        files.push(TemplateFile {
            name: own_name(&mut names, &one.name),
            templates: vec![one.clone()],
            printed: print(job, one, options)?,
        });
    }
    let gauges: Vec<Template> = templates.iter().filter(is_gauge).cloned().collect();
    if !gauges.is_empty() {
        files.push(TemplateFile {
            name: own_name(&mut names, "gauges"),
            printed: print_together(job, "Angle gauges", &gauges, options)?,
            templates: gauges,
        });
    }
    Ok(files)
}

/// The name of a template's SVG file.
#[must_use]
pub fn svg_name(file: &TemplateFile, at: usize) -> String {
    if file.templates.len() == 1 {
        format!("{}.svg", file.name)
    } else {
        format!("{}-{}.svg", file.name, at + 1)
    }
}

/// A name that no file has yet, whatever the case of its letters: some file systems do not tell them
/// apart.
#[must_use]
pub fn own_name(names: &mut BTreeSet<String>, wanted: &str) -> String {
    let plain = name_for_file(wanted);
    let numbered = (2..).map(|number: u32| format!("{plain}-{number}"));
    let mut free = std::iter::once(plain.clone()).chain(numbered);
    let name = free
        .find(|name| !names.contains(&name.to_lowercase()))
        .unwrap_or_else(|| plain.clone());
    names.insert(name.to_lowercase());
    name
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_safe_and_no_two_alike() {
        let mut names = BTreeSet::new();
        let made = [
            "N1-T1", "n1-t1", "../up", "a b/c", "N1-T1", "...", "nul.x", "Com1", "cone",
        ]
        .map(|wanted| own_name(&mut names, wanted));
        assert_eq!(
            made,
            [
                "N1-T1",
                "n1-t1-2",
                "up",
                "a-b-c",
                "N1-T1-3",
                "template",
                "part-nul.x",
                "part-Com1",
                "cone"
            ]
        );
    }
}
