//! Texts that are no lengths: what is said, where it points, and that the help would do.

use rakewell::measure::{MeasureError, Unit, parse_length};

#[track_caller]
fn refuses(text: &str, problem: &str, at: &str) -> MeasureError {
    let error = match parse_length(text, Unit::Inches) {
        Err(error) => error,
        Ok(length) => panic!("{text:?} was read as {length:?}"),
    };
    assert!(error.problem.contains(problem), "{text:?}: {error}");
    assert_eq!(
        text.get(error.range.clone()),
        Some(at),
        "{text:?}: {error:?}"
    );
    assert!(!error.help.is_empty(), "{text:?}");
    error
}

#[test]
fn nothing_there() {
    refuses("", "no length is written", "");
    refuses("  ", "no length is written", "  ");
    refuses("-", "a sign without a number", "-");
    refuses("in", "a number should stand where `in` does", "in");
    refuses("\"", "a number should stand", "\"");
}

#[test]
fn no_numbers() {
    refuses("NaN", "`NaN`", "NaN");
    refuses("inf", "`inf`", "inf");
    refuses("-inf", "`inf`", "inf");
    refuses("infinity", "`infinity`", "infinity");
    refuses("ten", "`ten`", "ten");
    refuses("1e999", "powers of ten", "e999");
    refuses("1e3", "powers of ten", "e3");
    refuses("1E-3 in", "powers of ten", "E-3 in");
    refuses("0x10", "`x` is no unit of length", "x");
    refuses("1.2.3", "two points", "1.2.3");
    refuses("10.", "ends in a point", "10.");
    refuses(".", "ends in a point", ".");
    refuses("10,25", "a comma", "10,");
    refuses("10² in", "'²' has no place", "²");
    refuses("٣", "has no place", "٣");
    refuses("10 1/4\u{0}", "has no place", "\u{0}");
}

#[test]
fn broken_fractions() {
    refuses("3/0", "over zero", "3/0");
    refuses("0/0", "over zero", "0/0");
    refuses("3/", "nothing under it", "3/");
    refuses("3/in", "nothing under it", "3/");
    refuses("/8", "a number should stand where `/8` does", "/8");
    refuses("5 5/4", "not less than one", "5/4");
    refuses("10 16/16", "not less than one", "16/16");
    // 10 1/4 with its space lost would be 25 1/4.
    let error = refuses("101/4", "not less than one", "101/4");
    assert!(error.help.contains("a space"), "{error}");
    refuses("1.5/2", "not whole", "1.5/2");
    refuses("1/2.5", "not whole", "1/2.5");
    refuses("1/99999999999", "not whole, or too large", "1/99999999999");
    refuses("1/1001", "no tape is marked", "1/1001");
    refuses("7 9/17", "no tape is marked in parts of 1/17", "9/17");
    refuses("7 9/15", "no tape is marked in parts of 1/15", "9/15");
    refuses("10.5 1/4", "a decimal and a fraction", "10.5 1/4");
    refuses("1/2/3", "left over", "/3");
}

#[test]
fn more_than_one_number() {
    refuses("7 9/16 3", "`3` is left over", "3");
    refuses("10 1/4 1/8", "`1/8` is left over", "1/8");
    refuses("10 5", "`5` is left over", "5");
    refuses("10 1/4 in 3", "`3` is left over", "3");
    refuses("10 in 1/4", "`1/4` is left over", "1/4");
    refuses("10\" \"", "left over", "\"");
    refuses("1 m 20 cm", "`20 cm` is left over", "20 cm");
    refuses("2\" 3'", "left over", "3'");
}

#[test]
fn feet_and_inches_that_do_not_fit() {
    let error = refuses("3' 14\"", "14 inches after feet make another foot", "14");
    assert!(error.help.contains("under 12"), "{error}");
    refuses("3' 12", "12 inches after feet", "12");
    refuses("3' 4'", "feet are written twice", "3' 4");
    refuses("3.5' 2\"", "part of a foot is written twice", "3.5' 2");
    refuses("3 1/2' 2\"", "part of a foot is written twice", "3 1/2' 2");
    refuses("3' 20 mm", "inches and millimetres", "3' 20");
    refuses("10 in 5 mm", "inches and millimetres", "10 in 5 mm");
    refuses("20 mm 3 in", "inches and millimetres", "20 mm 3 in");
}

#[test]
fn signs_in_the_wrong_place() {
    refuses("--5", "more than one sign", "-5");
    refuses("+-5", "more than one sign", "-5");
    refuses("10 - 1/4", "a sign within", "- 1/4");
    refuses("10 -1/4", "a sign within", "-1/4");
    refuses("10- 1/4", "a sign within", "- 1/4");
    refuses("10 + 1/4", "a sign within", "+ 1/4");
    refuses("3' -2\"", "a sign within", "-2\"");
    refuses("10-5", "a sign within", "-5");
    refuses("10 +", "a sign within", "+");
    refuses("10-in", "a sign within", "-in");
    refuses("10 1/4++", "a sign within", "++");
    refuses("10.25+", "strong or scant on what", "10.25+");
    // The front of 10-1/4 and of 3'-2", cut off.
    refuses("10-", "strong or scant on what", "10-");
    refuses("3'-", "strong or scant on what", "3'-");
    refuses("3' 2-", "strong or scant on what", "3' 2-");
    refuses("26 cm+", "strong or scant on what", "26 cm+");
    refuses("10 1/2 mm-", "strong or scant on what", "10 1/2 mm-");
}

#[test]
fn unknown_units() {
    let error = refuses("10 yd", "`yd` is no unit of length", "yd");
    assert!(error.help.contains("in, ft, mm, cm and m"), "{error}");
    refuses("3' 4 furlongs", "`furlongs`", "furlongs");
    refuses("37°", "degrees on a length", "°");
    let error = refuses("34 7/16 strong", "`strong`", "strong");
    assert!(error.help.contains("10 1/4\"+"), "{error}");
    let error = refuses("34 7/16 scant", "`scant`", "scant");
    assert!(error.help.contains("10 1/4\"-"), "{error}");
}

#[test]
fn too_long_or_too_much() {
    let long = "1".repeat(300);
    refuses(&long, "300 bytes long", &long);
    let digits = "9".repeat(80);
    refuses(&digits, "longer than 1000 m", &digits);
    refuses("1000.001 m", "longer than 1000 m", "1000.001 m");
    refuses("-4000 ft", "longer than 1000 m", "-4000 ft");
    assert!(parse_length("1000 m", Unit::Inches).is_ok());
    assert!(parse_length("-1000 m", Unit::Inches).is_ok());
}

#[test]
fn the_message_says_what_would_do() {
    let error = refuses("3/0", "over zero", "3/0");
    assert_eq!(
        error.to_string(),
        format!("{}; {}", error.problem, error.help)
    );
    assert!(error.help.contains("3/8"));
}
