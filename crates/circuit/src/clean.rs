//! Numbers without noise: twelve figures, so that every number is written short and reads back as itself.

use std::sync::Arc;

use loomwright_units::WireArea;

use crate::{Accepted, Anchor, Note, Part, PartType, Point, Row, Wire};

/// Sizes below this are nothing: a billionth of a millimetre, of an ohm, of a volt.
const NOTHING: f64 = 1e-9;

/// The number with twelve significant figures. What is not finite stays so, for the checks to refuse.
pub(crate) fn number(value: f64) -> f64 {
    if !value.is_finite() {
        return value;
    }
    if value.abs() < NOTHING {
        return 0.0;
    }
    // A number of thousandths that has no more figures than that is one already, and nearly all are.
    let thousandths = (value * 1e3).round();
    if thousandths.abs() < 1e11 && thousandths / 1e3 == value {
        return value;
    }
    format!("{value:.11e}").parse().unwrap_or(value)
}

fn point(at: Point) -> Point {
    Point::new(number(at.x), number(at.y))
}

pub(crate) fn part(part: &mut Part) {
    part.place.at = point(part.place.at);
    part.facts.values_mut().for_each(|value| *value = number(*value));
}

pub(crate) fn wire(wire: &mut Wire) {
    for end in [&mut wire.from, &mut wire.to] {
        if let Anchor::Loose { at, .. } = &mut end.at {
            *at = point(*at);
        }
    }
    wire.size = wire.size.map(|size| WireArea::new(number(size.square_mm())).unwrap_or(size));
    if let Some(length) = &mut wire.length {
        length.0 = number(length.0);
    }
    wire.route.iter_mut().for_each(|corner| *corner = point(*corner));
}

pub(crate) fn note(row: &mut Note) {
    row.at = point(row.at);
    row.frame = row.frame.map(point);
}

pub(crate) fn accepted(row: &mut Accepted) {
    row.figures.values_mut().for_each(|value| *value = number(*value));
}

/// A part type has numbers everywhere; the writer cleans them all.
pub(crate) fn own_type(row: &Arc<PartType>) -> Arc<PartType> {
    let read = serde_json::from_str(&crate::saved::write_row(&**row));
    read.map_or_else(|_not_finite| Arc::clone(row), Arc::new)
}

pub(crate) fn row(row: Row) -> Row {
    match row {
        Row::Part(mut row) => {
            part(&mut row);
            Row::Part(row)
        }
        Row::Wire(mut row) => {
            wire(&mut row);
            Row::Wire(row)
        }
        Row::Note(mut row) => {
            note(&mut row);
            Row::Note(row)
        }
        Row::Accepted(mut row) => {
            accepted(&mut row);
            Row::Accepted(row)
        }
        Row::OwnType(row) => Row::OwnType(own_type(&row)),
        row => row,
    }
}

#[cfg(test)]
mod tests {
    use super::number;

    #[test]
    fn noise_goes_and_figures_stay() {
        assert_eq!(number(0.1 + 0.2), 0.3);
        assert_eq!(number(-0.0).to_bits(), 0.0_f64.to_bits());
        assert_eq!(number(1.308_703_123_456_789), 1.308_703_123_46);
        assert_eq!(number(3.8e-258), 0.0);
        assert!(number(f64::NAN).is_nan());
    }
}
