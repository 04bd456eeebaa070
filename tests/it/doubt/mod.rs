//! Doubt: the worked stair drawn again and again.

mod stair;
