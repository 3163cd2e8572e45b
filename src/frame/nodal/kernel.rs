//! The few loops that all the work is in, over registers of whatever width the machine has.

#![allow(
    clippy::needless_range_loop,
    reason = "rows and columns of a small block by number, as in the formulas"
)]

use pulp::Simd;

/// Rows of a block column: `S` numbers each, `W` of them its own.
pub(super) type Row<const S: usize> = [f64; S];

/// A row in registers.
#[inline(always)]
fn load<M: Simd, const P: usize>(simd: M, row: &[f64]) -> [M::f64s; P] {
    let (registers, _) = M::as_simd_f64s(row);
    let mut out = [simd.splat_f64s(0.0); P];
    for (to, from) in out.iter_mut().zip(registers) {
        *to = *from;
    }
    out
}

#[inline(always)]
fn store<M: Simd, const P: usize>(from: [M::f64s; P], row: &mut [f64]) {
    let (registers, _) = M::as_mut_simd_f64s(row);
    for (to, from) in registers.iter_mut().zip(from) {
        *to = from;
    }
}

/// `to += from · by` for rows of a block: the j-th number of a row gains Σₖ from\[k\]·by\[k\]\[j\].
#[inline(always)]
pub(super) fn add_product<M: Simd, const W: usize, const S: usize, const P: usize>(
    simd: M,
    to: &mut [Row<S>],
    from: &[Row<S>],
    by: &[[M::f64s; P]; W],
) {
    for (to, from) in to.iter_mut().zip(from) {
        let mut sum = load::<M, P>(simd, to);
        for k in 0..W {
            let here = simd.splat_f64s(from[k]);
            for p in 0..P {
                sum[p] = simd.mul_add_e_f64s(here, by[k][p], sum[p]);
            }
        }
        store::<M, P>(sum, to);
    }
}

/// A block turned over, with the signs of its pivots and the sign of a subtraction, in registers.
#[inline(always)]
pub(super) fn turned<M: Simd, const W: usize, const S: usize, const P: usize>(
    simd: M,
    block: &[Row<S>],
    signs: &[f64],
) -> [[M::f64s; P]; W] {
    let mut plain = [[0.0; S]; W];
    for (j, row) in block.iter().enumerate().take(W) {
        for k in 0..W {
            plain[k][j] = -signs[k] * row[k];
        }
    }
    plain.map(|row| load::<M, P>(simd, &row))
}

/// Cholesky of a diagonal block in its lower triangle, roots of its pivots on the diagonal and their reciprocals behind
/// each row. Gives the first pivot that is zero or no number, or, where `definite` is asked for, not positive.
#[inline(always)]
pub(super) fn root<const W: usize, const S: usize>(
    block: &mut [Row<S>],
    signs: &mut [f64],
    definite: bool,
) -> Result<(), usize> {
    let Some(block) = block.first_chunk_mut::<W>() else { return Err(0) };
    for j in 0..W {
        let mut pivot = block[j][j];
        for k in 0..j {
            pivot -= signs[k] * block[j][k] * block[j][k];
        }
        if !pivot.is_finite() || pivot == 0.0 || (definite && pivot < 0.0) {
            return Err(j);
        }
        let sign = pivot.signum();
        let root = pivot.abs().sqrt();
        let inverse = 1.0 / root;
        signs[j] = sign;
        block[j][j] = root;
        block[j][W] = inverse;
        for i in j + 1..W {
            let mut value = block[i][j];
            for k in 0..j {
                value -= signs[k] * block[i][k] * block[j][k];
            }
            block[i][j] = value * sign * inverse;
        }
    }
    Ok(())
}

/// Rows below a diagonal block, divided by it: X with X S Lᵀ = A, in place.
#[inline(always)]
pub(super) fn divide<const W: usize, const S: usize>(rows: &mut [Row<S>], block: &[Row<S>], signs: &[f64]) {
    let Some(block) = block.first_chunk::<W>() else { return };
    let mut by = [[0.0; W]; W];
    let mut scale = [0.0; W];
    for j in 0..W {
        for k in 0..j {
            by[j][k] = signs[k] * block[j][k];
        }
        scale[j] = signs[j] * block[j][W];
    }
    for row in rows {
        for j in 0..W {
            let mut value = row[j];
            for k in 0..j {
                value -= row[k] * by[j][k];
            }
            row[j] = value * scale[j];
        }
    }
}

/// Forward elimination of one block column: `x` its own rows, then `rest(row)` of the others loses L·x.
#[inline(always)]
pub(super) fn forward<const W: usize, const S: usize, const L: usize>(x: &mut [Row<L>], block: &[Row<S>]) {
    for j in 0..W {
        let (done, rest) = x.split_at_mut(j);
        let here = &mut rest[0];
        for (k, before) in done.iter().enumerate() {
            for lane in 0..L {
                here[lane] -= block[j][k] * before[lane];
            }
        }
        for value in here.iter_mut() {
            *value *= block[j][W];
        }
    }
}

/// The same backward, with the block turned over.
#[inline(always)]
pub(super) fn backward<const W: usize, const S: usize, const L: usize>(x: &mut [Row<L>], block: &[Row<S>]) {
    for j in (0..W).rev() {
        let (before, rest) = x.split_at_mut(j);
        let here = &mut rest[0];
        for value in here.iter_mut() {
            *value *= block[j][W];
        }
        for (k, before) in before.iter_mut().enumerate() {
            for lane in 0..L {
                before[lane] -= block[j][k] * here[lane];
            }
        }
    }
}

/// `to −= rows · x` for the rows of one block, several right-hand sides side by side.
#[inline(always)]
pub(super) fn spread<M: Simd, const W: usize, const S: usize, const L: usize, const P: usize>(
    simd: M,
    to: &mut [Row<L>],
    rows: &[Row<S>],
    x: &[[M::f64s; P]; W],
) {
    for (to, row) in to.iter_mut().zip(rows) {
        let mut sum = load::<M, P>(simd, to);
        for k in 0..W {
            let here = simd.splat_f64s(row[k]);
            for p in 0..P {
                sum[p] = simd.mul_add_e_f64s(here, x[k][p], sum[p]);
            }
        }
        store::<M, P>(sum, to);
    }
}

/// `sum −= rowsᵀ · x` over the rows of one block, several right-hand sides side by side.
#[inline(always)]
pub(super) fn collect<M: Simd, const W: usize, const S: usize, const L: usize, const P: usize>(
    simd: M,
    sum: &mut [[M::f64s; P]; W],
    rows: &[Row<S>],
    x: &[Row<L>],
) {
    for (x, row) in x.iter().zip(rows) {
        let x = load::<M, P>(simd, x);
        for k in 0..W {
            let here = simd.splat_f64s(-row[k]);
            for p in 0..P {
                sum[k][p] = simd.mul_add_e_f64s(here, x[p], sum[k][p]);
            }
        }
    }
}

/// `to −= rows · x` for the rows of one block and a single right-hand side; `x` is padded as the rows are, its sign turned.
#[inline(always)]
pub(super) fn spread_one<M: Simd, const S: usize, const P: usize>(
    simd: M,
    to: &mut [f64],
    rows: &[Row<S>],
    x: &[M::f64s; P],
) {
    for (to, row) in to.iter_mut().zip(rows) {
        let row = load::<M, P>(simd, row);
        let mut sum = simd.mul_f64s(row[0], x[0]);
        for p in 1..P {
            sum = simd.mul_add_e_f64s(row[p], x[p], sum);
        }
        *to += simd.reduce_sum_f64s(sum);
    }
}

/// `sum −= rowsᵀ · x` over the rows of one block, for a single right-hand side.
#[inline(always)]
pub(super) fn collect_one<M: Simd, const S: usize, const P: usize>(
    simd: M,
    sum: &mut [M::f64s; P],
    rows: &[Row<S>],
    x: &[f64],
) {
    for (x, row) in x.iter().zip(rows) {
        let row = load::<M, P>(simd, row);
        let here = simd.splat_f64s(-x);
        for p in 0..P {
            sum[p] = simd.mul_add_e_f64s(row[p], here, sum[p]);
        }
    }
}

/// A short list in registers, padded with zeros, with its sign turned where asked for.
#[inline(always)]
pub(super) fn padded<M: Simd, const S: usize, const P: usize>(simd: M, x: &[f64], sign: f64) -> [M::f64s; P] {
    let mut row = [0.0; S];
    for (to, from) in row.iter_mut().zip(x) {
        *to = sign * from;
    }
    load::<M, P>(simd, &row)
}

/// And back: what the list has room for.
#[inline(always)]
pub(super) fn unpadded<M: Simd, const S: usize, const P: usize>(from: [M::f64s; P], x: &mut [f64]) {
    let mut row = [0.0; S];
    store::<M, P>(from, &mut row);
    x.copy_from_slice(&row[..x.len()]);
}

/// Rows of a block of right-hand sides in registers, with their sign turned where asked for.
#[inline(always)]
pub(super) fn rows_of<M: Simd, const W: usize, const L: usize, const P: usize>(
    simd: M,
    x: &[Row<L>],
    sign: f64,
) -> [[M::f64s; P]; W] {
    let mut out = [[simd.splat_f64s(0.0); P]; W];
    let sign = simd.splat_f64s(sign);
    for (to, from) in out.iter_mut().zip(x) {
        *to = load::<M, P>(simd, from).map(|part| simd.mul_f64s(part, sign));
    }
    out
}

/// And back.
#[inline(always)]
pub(super) fn put_rows<M: Simd, const W: usize, const L: usize, const P: usize>(
    from: [[M::f64s; P]; W],
    x: &mut [Row<L>],
) {
    for (from, to) in from.into_iter().zip(x) {
        store::<M, P>(from, to);
    }
}
