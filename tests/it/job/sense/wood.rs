//! What the parts are made of, and what the eye lets pass.

use super::{check, one_warning};
use crate::job::with;
use rakewell::job::{Document, Job, PartGroup};

const HERE: &str = "rules: \"us-residential-2021\",";

/// The sample with the fields of a wood that is sound otherwise.
fn wood(fields: &str) -> String {
    format!("{HERE} wood: ({fields}),")
}

fn loaded(fields: &str) -> Job {
    let text = with(HERE, &wood(fields));
    let document = Document::parse(&text, "job.ron").unwrap_or_else(|faults| panic!("{faults}"));
    assert!(document.warnings().is_empty(), "{:?}", document.warnings());
    document.job().clone()
}

#[test]
fn wood_that_makes_no_sense() {
    let moisture = "fitted: 8, driest: 6, wettest: 11";
    check(&[
        (
            HERE,
            &wood(&format!("species: \"red oka\", {moisture}")),
            "design.wood.species",
            "\"red oka\"",
            "no coefficients for `red oka`",
            "did you mean `red oak`?",
        ),
        (
            HERE,
            &wood(&format!(
                "species: \"red oak\", but: [(of: Treads, species: \"suggar maple\")], {moisture}"
            )),
            "design.wood.but[0].species",
            "\"suggar maple\"",
            "no coefficients",
            "did you mean `sugar maple`?",
        ),
        (
            HERE,
            &wood(&format!(
                "species: \"red oak\", but: [(of: Rail), (of: Rail, sawn: Quartered)], {moisture}"
            )),
            "design.wood.but[1].of",
            "Rail",
            "the wood of the rail is given twice",
            "leave one",
        ),
        (
            HERE,
            &wood("species: \"red oak\", fitted: 80, driest: 6, wettest: 11"),
            "design.wood.fitted",
            "80",
            "a moisture content of 80 per cent",
            "write 0 to 30",
        ),
        (
            HERE,
            &wood("species: \"red oak\", fitted: 8, driest: 11, wettest: 6"),
            "design.wood.driest",
            "11",
            "the driest is wetter than the wettest",
            "exchange",
        ),
        (
            HERE,
            &wood(&format!(
                "species: \"sapele\", own: [(name: \"sapele\", radial: 0.15, tangential: 0.003, \
                 source: \"a table\")], {moisture}"
            )),
            "design.wood.own[0].radial",
            "0.15",
            "no coefficient of shrinkage",
            "red oak is 0.00158",
        ),
        (
            HERE,
            "rules: \"us-residential-2021\", seen: (step: 0),",
            "design.seen.step",
            "0",
            "a reveal and the next one is zero",
            "write ",
        ),
    ]);
}

/// Wood Handbook FPL-GTR-190, Table 13-5: within moisture content limits of 6 to 14 per cent.
#[test]
fn past_where_the_coefficients_hold_a_warning_is_given() {
    let fields = wood("species: \"red oak\", fitted: 8, driest: 5, wettest: 11");
    let warning = one_warning(&with(HERE, &fields));
    assert_eq!(warning.path, "design.wood.driest");
    assert!(warning.help.contains("6 to 14"), "{warning:?}");
}

/// Table 13-5: red oak 0.00158 radial and 0.00369 tangential; sugar maple 0.00165 and 0.00353.
#[test]
fn how_it_is_sawn_says_which_coefficient_a_dimension_takes() {
    let job = loaded(
        "species: \"Red-Oak\", fitted: 8, driest: 6, wettest: 11, but: [\
         (of: Treads, species: \"sugar maple\"), (of: Rail, sawn: Quartered), \
         (of: Kicks, sawn: Between)]",
    );
    let wood = job.design.wood.as_ref().unwrap();
    let of = |group| {
        let two = wood.coefficients(group).unwrap();
        [two.first, two.second]
    };
    let near = |a: [f64; 2], b: [f64; 2]| {
        assert!(
            (a[0] - b[0]).abs() < 1e-9 && (a[1] - b[1]).abs() < 1e-9,
            "{a:?} {b:?}"
        );
    };
    near(of(PartGroup::Newels), [0.00369, 0.00158]);
    near(of(PartGroup::Treads), [0.00353, 0.00165]);
    near(of(PartGroup::Rail), [0.00158, 0.00369]);
    near(of(PartGroup::Kicks), [0.002635, 0.002635]);
}

#[test]
fn a_wood_of_ones_own_is_taken() {
    let job = loaded(
        "species: \"sapele\", own: [(name: \"sapele\", radial: 0.0018, tangential: 0.0025, \
         source: \"the yard's sheet\")], fitted: 9, driest: 7, wettest: 11",
    );
    let wood = job.design.wood.as_ref().unwrap();
    assert_eq!(wood.known("Sapele"), Some((0.0018, 0.0025)));
}
