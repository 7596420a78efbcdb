//! Which decimal mark the reader writes: chosen in the menu, or that of the system's language and region.

use loomwright_units::DecimalMark;
use serde::{Deserialize, Serialize};

/// What is chosen in the menu.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum MarkChoice {
    /// That of the system's language and region.
    #[default]
    System,
    /// 12.5
    Point,
    /// 12,5
    Comma,
}

impl MarkChoice {
    /// All of them, in the order shown.
    pub const ALL: [Self; 3] = [Self::System, Self::Point, Self::Comma];

    /// The mark, where the system has this one.
    pub fn mark(self, of_system: DecimalMark) -> DecimalMark {
        match self {
            Self::System => of_system,
            Self::Point => DecimalMark::Point,
            Self::Comma => DecimalMark::Comma,
        }
    }
}

/// Languages written with a decimal comma, wherever they are spoken.
///
/// # Source
/// `decimal_point` of the locales of the GNU C Library 2.36.
const COMMA: &str = "ab agr an ast ayc az be bg br bs ca ce crh cs csb cv da de dsb el es et eu ff fi fo fr fur fy gl \
    hr hsb ht hu ia id is it ka kab kk kl ku ky lb li lij ln lt lv mg mhr mk mn nb nds nl nn no oc os pap pl pt quz ro \
    ru rw sah sc se sgs sk sl sq sr sv szl tg tr tt uk vi wa wo";

/// Regions that write it otherwise than their language does elsewhere; the same source.
const OTHERWISE: &str =
    "az_IR de_CH de_LI en_DK es_DO es_GT es_HN es_MX es_NI es_PA es_PR es_SV es_US fr_CH it_CH";

/// The mark of a locale's name: `de_DE.UTF-8`, `sv`, `sr_RS@latin`; a point for C, POSIX and what is not known.
pub fn mark_of_locale(locale: &str) -> DecimalMark {
    let name = locale.split(['.', '@']).next().unwrap_or_default().replace('-', "_");
    let language = name.split('_').next().unwrap_or_default();
    let is_in =
        |list: &str, name: &str| list.split(' ').any(|known| known.eq_ignore_ascii_case(name));
    if is_in(COMMA, language) == is_in(OTHERWISE, &name) {
        DecimalMark::Point
    } else {
        DecimalMark::Comma
    }
}

/// The mark that the environment asks for, by the first of these variables that says anything.
///
/// # Source
/// POSIX.1-2017, Base Definitions 8.2: `LC_ALL` comes before the category's own variable, and `LANG` last; an empty one
/// counts as not set.
pub fn mark_of_system(variable: impl Fn(&str) -> Option<String>) -> DecimalMark {
    let said = ["LC_ALL", "LC_NUMERIC", "LANG"].into_iter().filter_map(variable);
    said.into_iter()
        .find(|said| !said.is_empty())
        .map_or(DecimalMark::Point, |it| mark_of_locale(&it))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// As `locale -k decimal_point` of the GNU C Library 2.36 tells them.
    #[test]
    fn locales_have_the_mark_that_the_c_library_gives_them() {
        let commas = "de_DE.UTF-8 de_AT@euro de_LU fr_FR fr_CA it_IT es_ES es_AR es_CL nl_BE nl_NL.UTF-8 sv_SE \
            sv_FI da_DK nb_NO nn_NO fi_FI pl_PL cs_CZ sk_SK hu_HU pt_PT pt_BR ro_RO ru_RU uk_UA tr_TR el_GR sr_RS@latin \
            en_DK az_AZ id_ID vi_VN de fr sv nl-NL";
        let points = "C POSIX C.UTF-8 en_GB.UTF-8 en_US en_IE@euro en_ZA de_CH.UTF-8 de_LI fr_CH it_CH es_MX es_US \
            es_PR es_GT cy_GB ga_IE ja_JP zh_CN ko_KR he_IL hi_IN th_TH mt_MT az_IR en xx_YY klingon";
        for name in commas.split_whitespace() {
            assert_eq!(mark_of_locale(name), DecimalMark::Comma, "{name}");
        }
        for name in points.split_whitespace() {
            assert_eq!(mark_of_locale(name), DecimalMark::Point, "{name}");
        }
    }

    #[test]
    fn the_first_variable_that_says_anything_counts() {
        let of = |set: &'static [(&str, &str)]| {
            mark_of_system(|name| {
                set.iter().find(|(known, _)| *known == name).map(|(_, is)| (*is).to_owned())
            })
        };
        assert_eq!(of(&[]), DecimalMark::Point);
        assert_eq!(of(&[("LANG", "de_DE.UTF-8")]), DecimalMark::Comma);
        assert_eq!(of(&[("LANG", "de_DE"), ("LC_NUMERIC", "en_GB")]), DecimalMark::Point);
        assert_eq!(of(&[("LC_ALL", "C"), ("LC_NUMERIC", "de_DE")]), DecimalMark::Point);
        assert_eq!(of(&[("LC_ALL", ""), ("LANG", "fr_FR")]), DecimalMark::Comma);
    }
}
