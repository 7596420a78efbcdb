//! Reads a formula as people write it, and works it out.

use std::iter::Peekable;
use std::str::Chars;

use loomwright_electrics::Derivation;

#[expect(clippy::disallowed_methods, reason = "another library than the one under test")]
mod maths {
    pub(super) fn pow(x: f64, y: f64) -> f64 {
        x.powf(y)
    }

    pub(super) fn ln(x: f64) -> f64 {
        x.ln()
    }

    pub(super) fn exp(x: f64) -> f64 {
        x.exp()
    }
}

/// The value of a derivation's formula with its inputs put in.
pub(crate) fn value_of(derivation: &Derivation) -> Result<f64, String> {
    let (_, right) = derivation.formula.split_once('=').ok_or("no equals sign")?;
    let (expression, condition) = match right.split_once(" where ") {
        Some((expression, condition)) => (expression, Some(condition)),
        None => (right, None),
    };
    if let Some(condition) = condition {
        let holds = ["≥", "≤", "<"].iter().find_map(|sign| {
            let (left, right) = condition.split_once(sign)?;
            Some((*sign, read(left, derivation), read(right, derivation)))
        });
        let (sign, left, right) = holds.ok_or("no comparison")?;
        let (left, right) = (left?, right?);
        let room = 1e-9 * right.abs();
        let holds = match sign {
            "≥" => left >= right - room,
            "≤" => left <= right + room,
            _ => left < right,
        };
        if !holds {
            return Err(format!("{left} {sign} {right} does not hold"));
        }
    }
    // Every input stands in the formula.
    for input in &derivation.inputs {
        if !symbols(right).contains(&input.symbol.to_owned()) {
            return Err(format!("{} is not in the formula", input.symbol));
        }
    }
    read(expression, derivation)
}

fn symbols(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut chars = text.chars().peekable();
    while let Some(first) = chars.peek().copied() {
        if first.is_alphabetic() && first != 'Σ' {
            found.push(name(&mut chars));
        } else {
            chars.next();
        }
    }
    found
}

fn name(chars: &mut Peekable<Chars<'_>>) -> String {
    let mut name = String::new();
    while let Some(next) = chars.peek().copied() {
        if !next.is_alphanumeric() || matches!(next, '²' | '³') {
            break;
        }
        name.push(next);
        chars.next();
    }
    name
}

struct Reader<'a> {
    chars: Peekable<Chars<'a>>,
    derivation: &'a Derivation,
    /// Within bars, a bar closes.
    bars: usize,
}

fn read(text: &str, derivation: &Derivation) -> Result<f64, String> {
    let mut reader = Reader { chars: text.chars().peekable(), derivation, bars: 0 };
    let value = reader.sum()?;
    match reader.next() {
        None => Ok(value),
        Some(left) => Err(format!("{left:?} is left over")),
    }
}

impl Reader<'_> {
    fn next(&mut self) -> Option<char> {
        while self.chars.next_if(|next| next.is_whitespace()).is_some() {}
        self.chars.peek().copied()
    }

    fn takes(&mut self, sign: char) -> bool {
        let is_there = self.next() == Some(sign);
        if is_there {
            self.chars.next();
        }
        is_there
    }

    fn sum(&mut self) -> Result<f64, String> {
        let mut value = if self.takes('−') { -self.product()? } else { self.product()? };
        loop {
            if self.takes('+') {
                value += self.product()?;
            } else if self.takes('−') {
                value -= self.product()?;
            } else {
                return Ok(value);
            }
        }
    }

    fn product(&mut self) -> Result<f64, String> {
        let mut value = self.power()?;
        loop {
            if self.takes('·') {
                value *= self.power()?;
            } else if self.takes('/') {
                value /= self.power()?;
            } else {
                return Ok(value);
            }
        }
    }

    fn power(&mut self) -> Result<f64, String> {
        let mut value = self.atom()?;
        loop {
            if self.takes('²') {
                value *= value;
            } else if self.takes('^') {
                value = maths::pow(value, self.power()?);
            } else {
                return Ok(value);
            }
        }
    }

    fn atom(&mut self) -> Result<f64, String> {
        match self.next() {
            Some('√') => {
                self.chars.next();
                Ok(self.atom()?.sqrt())
            }
            Some('Σ') => {
                self.chars.next();
                self.next();
                let symbol = name(&mut self.chars);
                let inputs = self.derivation.inputs.iter();
                let meant = inputs.filter(|input| input.symbol == symbol);
                Ok(meant.map(|input| input.quantity.value).sum())
            }
            Some('(') => self.within(')'),
            Some('|') if self.bars == 0 => {
                self.bars += 1;
                let value = self.within('|');
                self.bars -= 1;
                Ok(value?.abs())
            }
            Some(first) if first.is_ascii_digit() => self.number(),
            Some(first) if first.is_alphabetic() => self.named(),
            other => Err(format!("{other:?} is not understood")),
        }
    }

    fn within(&mut self, end: char) -> Result<f64, String> {
        self.chars.next();
        let value = self.sum()?;
        if self.takes(end) { Ok(value) } else { Err(format!("no {end}")) }
    }

    fn number(&mut self) -> Result<f64, String> {
        let mut text = String::new();
        while let Some(digit) = self.chars.next_if(|c| c.is_ascii_digit() || *c == '.') {
            text.push(digit);
        }
        text.parse().map_err(|error| format!("{text}: {error}"))
    }

    fn named(&mut self) -> Result<f64, String> {
        let name = name(&mut self.chars);
        if self.chars.peek() == Some(&'(') {
            return self.called(&name);
        }
        if name == "π" {
            return Ok(std::f64::consts::PI);
        }
        let mut meant = self.derivation.inputs.iter().filter(|input| input.symbol == name);
        let first = meant.next().ok_or_else(|| format!("no input {name}"))?;
        let value = first.quantity.value;
        if meant.any(|other| other.quantity.value != value) {
            return Err(format!("{name} is two things"));
        }
        Ok(value)
    }

    fn called(&mut self, name: &str) -> Result<f64, String> {
        self.chars.next();
        let bars = std::mem::take(&mut self.bars);
        let mut values = vec![self.sum()?];
        while self.takes(',') {
            values.push(self.sum()?);
        }
        self.bars = bars;
        if !self.takes(')') {
            return Err(format!("{name} is not closed"));
        }
        match (name, values.as_slice()) {
            ("max", [a, b]) => Ok(a.max(*b)),
            ("min", [a, b]) => Ok(a.min(*b)),
            ("ln", [x]) => Ok(maths::ln(*x)),
            ("exp", [x]) => Ok(maths::exp(*x)),
            ("round", [x]) => Ok(x.round()),
            _ => Err(format!("no function {name}")),
        }
    }
}

#[test]
fn formulas_are_read_as_they_are_written() {
    let derivation = Derivation {
        figure: loomwright_electrics::Quantity { value: 0.0, unit: "" },
        of: loomwright_electrics::Subject::Metal,
        formula: "",
        inputs: Vec::new(),
        source: "",
    };
    for (text, value) in [
        ("1 + 2 · 3", 7.0),
        ("8 / 2 / 2", 2.0),
        ("2 · 3²", 18.0),
        ("2^(1 + 2) · 2", 16.0),
        ("−(1 − 3)", 2.0),
        ("|1 − 3| + √(9)", 5.0),
        ("max(1, min(5, 3)) − ln(exp(2))", 1.0),
    ] {
        assert!((read(text, &derivation).expect(text) - value).abs() < 1e-12, "{text}");
    }
    for text in ["1 +", "(1", "x", "1 1", "sin(1)"] {
        assert!(read(text, &derivation).is_err(), "{text}");
    }
}
