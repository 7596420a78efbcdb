//! Settings by name, which of them are possible, and how many.

use std::collections::BTreeMap;

use loomwright_circuit::Control;

use crate::{Network, Setting, SettingError};

impl Network {
    /// The setting with every control in its rest position.
    pub fn rest(&self) -> Setting {
        Setting(vec![0; self.controls().len()])
    }

    /// The setting that differs from rest by these positions, by name.
    ///
    /// # Errors
    /// Names that this car does not have, or a setting that it rules out.
    pub fn setting(&self, positions: &BTreeMap<String, String>) -> Result<Setting, SettingError> {
        let mut setting = self.rest();
        for (control, position) in positions {
            self.put(&mut setting, control, position)?;
        }
        match self.ruled_out(&setting) {
            None => Ok(setting),
            Some(together) => Err(SettingError::Impossible { together }),
        }
    }

    /// Puts one control of a setting into a position, by name. Whether the result is possible is not asked.
    ///
    /// # Errors
    /// Names that this car does not have.
    pub fn put(
        &self,
        setting: &mut Setting,
        control: &str,
        position: &str,
    ) -> Result<(), SettingError> {
        let at = self.controls().iter().position(|known| known.name == control);
        let Some(at) = at else {
            let known = self.controls().iter().map(|known| known.name.clone()).collect();
            return Err(SettingError::NoControl { control: control.to_owned(), known });
        };
        let positions = &self.controls()[at].positions;
        let Some(idx) = positions.iter().position(|known| known.name == position) else {
            let known = positions.iter().map(|known| known.name.clone()).collect();
            let (control, position) = (control.to_owned(), position.to_owned());
            return Err(SettingError::NoPosition { control, position, known });
        };
        // Networks keep at most 255 positions of a control.
        setting.0[at] = u8::try_from(idx).unwrap_or(u8::MAX);
        Ok(())
    }

    /// Whether the car's declarations allow a setting.
    pub fn is_possible(&self, setting: &Setting) -> bool {
        !self.tables.impossible.iter().any(|combination| holds(combination, setting))
    }

    /// The positions of a setting that cannot go together, as control and position; nothing if it is possible.
    pub fn ruled_out(&self, setting: &Setting) -> Option<Vec<(String, String)>> {
        let combination =
            self.tables.impossible.iter().find(|combination| holds(combination, setting))?;
        let name = |control: usize| {
            let known = &self.controls()[control];
            let position = &known.positions[usize::from(setting.0[control])];
            (known.name.clone(), position.name.clone())
        };
        Some(combination.iter().map(|(control, _)| name(*control)).collect())
    }

    /// The positions of a setting by name.
    pub fn named(&self, setting: &Setting) -> BTreeMap<String, String> {
        let name = |(control, at): (&loomwright_circuit::Control, &u8)| {
            let position = control.positions.get(usize::from(*at))?;
            Some((control.name.clone(), position.name.clone()))
        };
        self.controls().iter().zip(&setting.0).filter_map(name).collect()
    }

    /// Number of possible settings; `u128::MAX` if there are more than that. Breakers count as closed: open ones are
    /// memory, not setting.
    ///
    /// # Complexity
    /// Only controls that stand in a declared combination are gone through, and of those only positions that a
    /// combination tells apart.
    pub fn possible_settings(&self) -> u128 {
        let size = |(idx, control): (usize, &Control)| {
            if self.tables.is_breaker(idx) { 1 } else { control.positions.len() as u128 }
        };
        let sizes: Vec<u128> = self.controls().iter().enumerate().map(size).collect();
        let combinations: Vec<&[(usize, Vec<u8>)]> =
            self.tables.impossible.iter().map(Vec::as_slice).collect();
        count(0, &sizes, &combinations)
    }
}

fn holds(combination: &[(usize, Vec<u8>)], setting: &Setting) -> bool {
    combination
        .iter()
        .all(|(control, meant)| setting.0.get(*control).is_some_and(|at| meant.contains(at)))
}

/// Settings of the controls from `first` on that complete none of the combinations; each combination lists only
/// controls from `first` on, in order.
fn count(first: usize, sizes: &[u128], combinations: &[&[(usize, Vec<u8>)]]) -> u128 {
    if combinations.iter().any(|combination| combination.is_empty()) {
        return 0;
    }
    let Some(next) = combinations.iter().map(|combination| combination[0].0).min() else {
        return sizes[first..].iter().fold(1, |product: u128, size| product.saturating_mul(*size));
    };
    let before =
        sizes[first..next].iter().fold(1, |product: u128, size| product.saturating_mul(*size));
    // Positions that the same combinations mean are alike.
    let mut alike: BTreeMap<Vec<bool>, u128> = BTreeMap::new();
    for at in 0..sizes[next] {
        let key = combinations.iter().map(|combination| {
            let (control, meant) = &combination[0];
            *control != next || u8::try_from(at).is_ok_and(|at| meant.contains(&at))
        });
        *alike.entry(key.collect()).or_insert(0) += 1;
    }
    let mut total: u128 = 0;
    for (stays, positions) in alike {
        let left: Vec<&[(usize, Vec<u8>)]> = combinations
            .iter()
            .zip(&stays)
            .filter(|(_, stays)| **stays)
            .map(
                |(combination, _)| {
                    if combination[0].0 == next { &combination[1..] } else { *combination }
                },
            )
            .collect();
        total = total.saturating_add(positions.saturating_mul(count(next + 1, sizes, &left)));
    }
    before.saturating_mul(total)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counting_agrees_with_going_through_all() {
        let sizes = [2_u128, 3, 4, 2, 5];
        let combinations: Vec<Vec<(usize, Vec<u8>)>> = vec![
            vec![(0, vec![1]), (2, vec![0, 3])],
            vec![(1, vec![2]), (2, vec![3]), (4, vec![1, 2])],
            vec![(3, vec![1])],
        ];
        let mut all = 0_u128;
        for code in 0..sizes.iter().product::<u128>() {
            let mut rest = code;
            let setting = Setting(
                sizes
                    .iter()
                    .map(|size| {
                        let at = rest % size;
                        rest /= size;
                        u8::try_from(at).expect("small")
                    })
                    .collect(),
            );
            all += u128::from(!combinations.iter().any(|known| holds(known, &setting)));
        }
        let slices: Vec<&[(usize, Vec<u8>)]> = combinations.iter().map(Vec::as_slice).collect();
        assert_eq!(count(0, &sizes, &slices), all);
        assert_eq!(count(0, &sizes, &[]), 240);
    }
}
