//! Which things hang together: a forest in which the lowest number stands on top.

/// The top of an island.
pub(crate) fn find(parent: &mut [u32], mut at: u32) -> u32 {
    while parent[at as usize] != at {
        let above = parent[parent[at as usize] as usize];
        parent[at as usize] = above;
        at = above;
    }
    at
}

/// Joins two islands; the lower number stays on top.
pub(crate) fn join(parent: &mut [u32], a: u32, b: u32) {
    let (a, b) = (find(parent, a), find(parent, b));
    if a < b {
        parent[b as usize] = a;
    } else {
        parent[a as usize] = b;
    }
}
