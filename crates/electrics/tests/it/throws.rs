//! How many random cases a test throws.

use proptest::prelude::ProptestConfig;

/// So many, unless `PROPTEST_CASES` says otherwise.
pub(crate) fn cases(usual: u32) -> ProptestConfig {
    let asked = ProptestConfig::default();
    // The library has read the environment; this is what it takes where that says nothing.
    const UNASKED: u32 = 256;
    let cases = if asked.cases == UNASKED { usual } else { asked.cases };
    ProptestConfig { cases, max_global_rejects: 20 * cases, ..asked }
}
