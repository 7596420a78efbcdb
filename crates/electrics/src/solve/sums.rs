//! Sums over many places, worked out side by side.

/// In four sums side by side, none of which waits for the others.
pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let (a, a_rest) = a.as_chunks::<4>();
    let (b, b_rest) = b.as_chunks::<4>();
    let mut sums = [0.0; 4];
    for (a, b) in a.iter().zip(b) {
        for lane in 0..4 {
            sums[lane] += a[lane] * b[lane];
        }
    }
    let rest: f64 = a_rest.iter().zip(b_rest).map(|(a, b)| a * b).sum();
    (sums[0] + sums[1]) + (sums[2] + sums[3]) + rest
}

/// The greatest by size, found as [`dot`] adds.
pub(super) fn greatest(values: &[f64]) -> f64 {
    let (values, rest) = values.as_chunks::<4>();
    let mut most = [0.0_f64; 4];
    for values in values {
        for lane in 0..4 {
            most[lane] = most[lane].max(values[lane].abs());
        }
    }
    rest.iter().chain(&most).fold(0.0, |greatest, value| value.abs().max(greatest))
}

/// A current from `b` to `a` through a branch: into `a`, out of `b`.
pub(super) fn add(into: &mut [f64], a: u32, b: u32, amps: f64) {
    into[a as usize] += amps;
    into[b as usize] -= amps;
}
