//! How much a job may hold.

use super::N1;
use crate::job::faults_with;

#[test]
fn limits_on_what_a_job_holds() {
    let newels: String = (0..17)
        .map(|at| {
            let x = at * 10;
            format!("(name: \"P{at}\", section: Square(3), stands: At(x: {x}), height: 48),")
        })
        .collect();
    let faults = faults_with(N1, &newels);
    assert!(
        faults.to_string().contains("17 newels are too many"),
        "{faults}"
    );
    let readings: String = (0..2001)
        .map(|at| format!("Offset(along: {}, up: 110, is: 0),", at as f64 / 200.0))
        .collect();
    let faults = faults_with("Offset(along: 4, up: 110, is: 0),", &readings);
    assert!(faults.to_string().contains("2002 readings"), "{faults}");
    let wall = |at: usize| {
        format!(
            "(name: \"V{at}\", from: (x: 0, y: 9), to: (x: 9, y: 9), head: 90, readings: [\
             Offset(along: 1, up: 1, is: 0), Offset(along: 1, up: 9, is: 0)]),"
        )
    };
    let walls: String = (0..32).map(wall).collect();
    let faults = faults_with("walls: [ (", &format!("walls: [ {walls} ("));
    assert!(
        faults.to_string().contains("33 walls are too many"),
        "{faults}"
    );
}
