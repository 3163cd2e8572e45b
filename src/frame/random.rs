//! Start vectors for iterations: the same every time, so that results repeat.

use faer::Mat;

/// A block of numbers between −1 and 1 from a fixed seed (xorshift64*, S. Vigna 2016, from memory; any
/// generator would do).
#[must_use]
pub fn block(rows: usize, columns: usize, seed: u64) -> Mat<f64> {
    let mut state = seed | 1;
    Mat::from_fn(rows, columns, |_, _| {
        state ^= state >> 12;
        state ^= state << 25;
        state ^= state >> 27;
        let bits = state.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11;
        (bits as f64) / (1_u64 << 52) as f64 - 1.0
    })
}
