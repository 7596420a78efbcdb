//! The clock of the benches that compare one figure with another.
#![expect(clippy::disallowed_methods, reason = "a bench reads the clock")]

use std::hint::black_box;
use std::time::Instant;

use cpu_time::ThreadTime;

/// Calls timed together.
const CALLS: u32 = 20;

/// Time of one call, µs.
pub(crate) fn micros(mut call: impl FnMut()) -> f64 {
    let start = Instant::now();
    for _ in 0..CALLS {
        call();
    }
    start.elapsed().as_secs_f64() * 1e6 / f64::from(CALLS)
}

pub(crate) fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

/// The measure for all others: a product of two 96 by 96 matrices, written out.
pub(crate) fn product() -> Vec<f64> {
    const N: usize = 96;
    let a: Vec<f64> = (0..N * N).map(|idx| (idx % 17) as f64 * 0.25).collect();
    let b: Vec<f64> = (0..N * N).map(|idx| (idx % 23) as f64 * 0.125).collect();
    let mut c = vec![0.0; N * N];
    for row in 0..N {
        for k in 0..N {
            let factor = black_box(&a)[row * N + k];
            for column in 0..N {
                c[row * N + column] += factor * b[k * N + column];
            }
        }
    }
    c
}

/// Time that this thread works on one call, µs.
pub(crate) fn once(mut call: impl FnMut()) -> f64 {
    let start = ThreadTime::now();
    call();
    start.elapsed().as_secs_f64() * 1e6
}

/// The longest time that this thread worked between two moments.
#[derive(Debug)]
pub(crate) struct Gaps {
    last: ThreadTime,
    longest: f64,
}

impl Gaps {
    pub(crate) fn start() -> Self {
        Self { last: ThreadTime::now(), longest: 0.0 }
    }

    pub(crate) fn ask(&mut self) {
        self.longest = self.longest.max(self.last.elapsed().as_secs_f64());
        self.last = ThreadTime::now();
    }

    pub(crate) fn longest_micros(&self) -> f64 {
        self.longest * 1e6
    }
}
