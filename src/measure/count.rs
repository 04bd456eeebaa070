//! Counts as people write them.

/// What things are counted with.
pub trait Unsigned: Copy + std::fmt::Display {}
impl Unsigned for u64 {}
impl Unsigned for usize {}

/// A count with its digits in threes, as `10,000`.
#[must_use]
pub fn grouped<N: Unsigned>(count: N) -> String {
    let digits = count.to_string();
    let mut out = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            out.push(',');
        }
        out.push(digit);
    }
    out
}
