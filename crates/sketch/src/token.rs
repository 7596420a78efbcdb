//! Words, quoted names and signs of one line, and walking along them.

/// A piece of a line.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Token {
    pub(crate) kind: Kind,
    /// Whether it follows the piece before it without a blank.
    pub(crate) is_glued: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Kind {
    /// Letters, digits and whatever is not a sign.
    Word(String),
    /// A name in quotes, without them.
    Quoted(String),
    /// One of [`SIGNS`].
    Sign(char),
}

/// What is a piece by itself.
pub(crate) const SIGNS: [char; 6] = [':', ';', ',', '=', '|', '>'];

/// The pieces of a line up to its comment.
pub(crate) fn tokens(line: &str) -> Result<Vec<Token>, String> {
    let mut tokens = Vec::new();
    let mut letters = line.chars().peekable();
    let mut is_glued = false;
    while let Some(letter) = letters.next() {
        let kind = match letter {
            '#' => break,
            letter if letter.is_whitespace() => {
                is_glued = false;
                continue;
            }
            letter if SIGNS.contains(&letter) => Kind::Sign(letter),
            '"' => Kind::Quoted(quoted(&mut letters)?),
            letter => {
                let mut word = String::from(letter);
                let goes_on =
                    |c: &char| !c.is_whitespace() && !SIGNS.contains(c) && !matches!(c, '"' | '#');
                while let Some(letter) = letters.next_if(goes_on) {
                    word.push(letter);
                }
                Kind::Word(word)
            }
        };
        tokens.push(Token { kind, is_glued });
        is_glued = true;
    }
    Ok(tokens)
}

fn quoted(letters: &mut impl Iterator<Item = char>) -> Result<String, String> {
    let mut name = String::new();
    loop {
        match letters.next() {
            Some('"') => return Ok(name),
            Some('\\') => match letters.next() {
                Some('n') => name.push('\n'),
                Some('t') => name.push('\t'),
                Some(letter @ ('"' | '\\')) => name.push(letter),
                _ => return Err("found a lone \\ in quotes, expected \\\" or \\\\".to_owned()),
            },
            Some(letter) => name.push(letter),
            None => return Err("a quoted name has no closing quote".to_owned()),
        }
    }
}

/// A place in a line's pieces.
#[derive(Debug, Clone)]
pub(crate) struct Cursor<'a> {
    rest: &'a [Token],
}

impl<'a> Cursor<'a> {
    pub(crate) fn new(tokens: &'a [Token]) -> Self {
        Self { rest: tokens }
    }

    pub(crate) fn rest(&self) -> &'a [Token] {
        self.rest
    }

    pub(crate) fn peek(&self) -> Option<&'a Kind> {
        self.rest.first().map(|token| &token.kind)
    }

    pub(crate) fn next(&mut self) -> Option<&'a Kind> {
        let (first, rest) = self.rest.split_first()?;
        self.rest = rest;
        Some(&first.kind)
    }

    /// The next piece if it is a word.
    pub(crate) fn peek_word(&self) -> Option<&'a str> {
        match self.peek() {
            Some(Kind::Word(word)) => Some(word),
            _ => None,
        }
    }

    /// The piece after the next one if it is a word.
    pub(crate) fn peek_second_word(&self) -> Option<&'a str> {
        match self.rest.get(1).map(|token| &token.kind) {
            Some(Kind::Word(word)) => Some(word),
            _ => None,
        }
    }

    /// Whether the piece after the next one is this sign.
    pub(crate) fn second_is(&self, sign: char) -> bool {
        self.rest.get(1).is_some_and(|token| token.kind == Kind::Sign(sign))
    }

    /// Takes the next piece if it is a word among these.
    pub(crate) fn take_word(&mut self, words: &[&str]) -> Option<&'a str> {
        let word = self.peek_word().filter(|word| words.contains(word))?;
        self.next();
        Some(word)
    }

    pub(crate) fn take_sign(&mut self, sign: char) -> bool {
        let is_it = self.peek() == Some(&Kind::Sign(sign));
        if is_it {
            self.next();
        }
        is_it
    }

    /// Takes a word that touches the piece before it.
    pub(crate) fn take_glued_word(&mut self) -> Option<&'a str> {
        let word = self.peek_word().filter(|_| self.rest.first().is_some_and(|it| it.is_glued))?;
        self.next();
        Some(word)
    }

    /// Takes a name: a word or a quoted one.
    pub(crate) fn name(&mut self, what: &str) -> Result<&'a str, String> {
        match self.peek() {
            Some(Kind::Word(name) | Kind::Quoted(name)) => {
                self.next();
                Ok(name)
            }
            _ => Err(self.unexpected(what)),
        }
    }

    /// The sentence for a piece that does not belong here.
    pub(crate) fn unexpected(&self, expected: &str) -> String {
        let found = match self.peek() {
            None => "the end of the line".to_owned(),
            Some(Kind::Word(word)) => format!("'{}'", shortened(word)),
            Some(Kind::Quoted(name)) => format!("\"{}\"", shortened(name)),
            Some(Kind::Sign(sign)) => format!("'{sign}'"),
        };
        format!("found {found}, expected {expected}")
    }
}

/// Text from a sketch as it may stand in a message.
pub(crate) fn shortened(text: &str) -> String {
    let one_line = |letter: char| if letter.is_control() { ' ' } else { letter };
    let mut short: String = text.chars().take(60).map(one_line).collect();
    if text.chars().count() > 60 {
        short.push('…');
    }
    short
}
