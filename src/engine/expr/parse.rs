//! From words and signs to a condition.

use super::super::book::text::{Log, Text};
use super::super::diagnostic::Mark;
use super::super::limit;
use super::super::unit::Units;
use super::ast::{Expr, Name, Node, Operator, Relation, SeriesWord};
use super::token::{Spot, Token, tokens};

/// Words with a meaning of their own; no fact or option may be called so.
pub(crate) const RESERVED: [&str; 19] = [
    "and", "or", "not", "is", "one", "of", "within", "to", "reads", "zero", "present", "on", "the",
    "last", "readings", "includes", "highest", "lowest", "age",
];

/// A condition or an amount; mistakes go to the log.
pub(crate) fn expression<'a>(text: &'a Text<'_>, units: &Units, log: &mut Log) -> Option<Expr<'a>> {
    if text.is_empty() {
        log.at(text, "a condition or an amount is missing here");
        return None;
    }
    let spots = tokens(text, units, log)?;
    let mut parser = Parser {
        text,
        spots,
        at: 0,
        depth: 0,
    };
    match parser.any().and_then(|expr| parser.end().map(|()| expr)) {
        Ok(expr) => Some(expr),
        Err(wrong) => {
            let at = Mark {
                place: text.place_at(wrong.from),
                characters: wrong.to.saturating_sub(wrong.from) as u32,
            };
            log.note(at, wrong.message.into(), None);
            None
        }
    }
}

struct Wrong {
    from: usize,
    to: usize,
    message: String,
}

type Parsed<T> = Result<T, Wrong>;

struct Parser<'a> {
    text: &'a Text<'a>,
    spots: Vec<Spot<'a>>,
    at: usize,
    depth: usize,
}

impl<'a> Parser<'a> {
    fn spot(&self) -> Spot<'a> {
        self.spots[self.at]
    }

    fn step(&mut self) {
        self.at = (self.at + 1).min(self.spots.len() - 1);
    }

    fn is_word(&self, word: &str) -> bool {
        self.spot().token == Token::Word(word)
    }

    fn take_word(&mut self, word: &str) -> bool {
        let found = self.is_word(word);
        if found {
            self.step();
        }
        found
    }

    fn take_sign(&mut self, sign: &str) -> bool {
        let found = matches!(self.spot().token, Token::Sign(s) if s == sign);
        if found {
            self.step();
        }
        found
    }

    fn wrong<T>(&self, expected: &str) -> Parsed<T> {
        let spot = self.spot();
        let found = match spot.token {
            Token::End => "the line ends here".to_owned(),
            _ => format!("`{}` stands here", &self.text.value[spot.from..spot.to]),
        };
        Err(Wrong {
            from: spot.from,
            to: spot.to,
            message: format!("{found}; expected {expected}"),
        })
    }

    /// A parenthesis that is still open at the end is the mistake, not the end.
    fn unclosed<T>(&self, open: Spot<'a>, expected: &str) -> Parsed<T> {
        match self.spot().token {
            Token::End => Err(Wrong {
                from: open.from,
                to: open.to,
                message: "this `(` is never closed".into(),
            }),
            _ => self.wrong(expected),
        }
    }

    fn want_word(&mut self, word: &str) -> Parsed<()> {
        if self.take_word(word) {
            Ok(())
        } else {
            self.wrong(&format!("`{word}`"))
        }
    }

    fn end(&self) -> Parsed<()> {
        match self.spot().token {
            Token::End => Ok(()),
            _ => {
                let spot = self.spot();
                let rest = &self.text.value[spot.from..];
                let decimal_comma = rest
                    .strip_prefix(',')
                    .is_some_and(|rest| rest.starts_with(|c: char| c.is_ascii_digit()));
                let message = if decimal_comma {
                    format!("`{rest}` is left over; write decimals with a point")
                } else {
                    format!("`{rest}` is left over; expected `and`, `or` or the end of the line")
                };
                Err(Wrong {
                    from: spot.from,
                    to: self.text.value.len(),
                    message,
                })
            }
        }
    }

    fn join(&self, from: usize, node: Node<'a>) -> Expr<'a> {
        let to = if self.at == 0 {
            from
        } else {
            self.spots[self.at - 1].to
        };
        Expr { node, from, to }
    }

    fn deeper<T>(&mut self, parse: impl FnOnce(&mut Self) -> Parsed<T>) -> Parsed<T> {
        if self.depth >= limit::NESTING {
            let spot = self.spot();
            let message = format!("more than {} parts inside one another", limit::NESTING);
            return Err(Wrong {
                from: spot.from,
                to: spot.to,
                message,
            });
        }
        self.depth += 1;
        let result = parse(self);
        self.depth -= 1;
        result
    }

    fn any(&mut self) -> Parsed<Expr<'a>> {
        self.deeper(|p| p.chain("or", Self::all, Node::Or))
    }

    fn all(&mut self) -> Parsed<Expr<'a>> {
        self.chain("and", Self::negation, Node::And)
    }

    fn chain(
        &mut self,
        word: &str,
        part: fn(&mut Self) -> Parsed<Expr<'a>>,
        node: fn(Vec<Expr<'a>>) -> Node<'a>,
    ) -> Parsed<Expr<'a>> {
        let from = self.spot().from;
        let first = part(self)?;
        let mut parts = vec![first];
        while self.take_word(word) {
            parts.push(part(self)?);
        }
        if parts.len() > 1 {
            return Ok(self.join(from, node(parts)));
        }
        Ok(parts.remove(0))
    }

    fn negation(&mut self) -> Parsed<Expr<'a>> {
        let from = self.spot().from;
        if self.take_word("not") {
            let inner = self.deeper(Self::negation)?;
            return Ok(self.join(from, Node::Not(Box::new(inner))));
        }
        self.comparison()
    }

    fn comparison(&mut self) -> Parsed<Expr<'a>> {
        let from = self.spot().from;
        let left = self.sum()?;
        if let Some(relation) = self.relation() {
            let right = self.sum()?;
            return Ok(self.join(
                from,
                Node::Compare {
                    relation,
                    left: Box::new(left),
                    right: Box::new(right),
                },
            ));
        }
        if self.take_word("within") {
            let low = self.sum()?;
            self.want_word("to")?;
            let high = self.sum()?;
            let (value, low, high) = (Box::new(left), Box::new(low), Box::new(high));
            return Ok(self.join(from, Node::Within { value, low, high }));
        }
        self.about_a_fact(from, left)
    }

    fn relation(&mut self) -> Option<Relation> {
        let relation = match self.spot().token {
            Token::Sign("<") => Relation::Less,
            Token::Sign("<=") => Relation::AtMost,
            Token::Sign(">") => Relation::More,
            Token::Sign(">=") => Relation::AtLeast,
            _ => return None,
        };
        self.step();
        Some(relation)
    }

    fn about_a_fact(&mut self, from: usize, left: Expr<'a>) -> Parsed<Expr<'a>> {
        let starts = ["is", "reads", "includes"]
            .iter()
            .any(|word| self.is_word(word));
        if !starts {
            return Ok(left);
        }
        let Node::Name(value) = left.node else {
            return self.wrong("the name of a fact before this word");
        };
        let fact = Name {
            value,
            from: left.from,
            to: left.to,
        };
        if self.take_word("is") {
            return self.is_one_of(from, fact);
        }
        if self.take_word("includes") {
            let option = self.name("an option")?;
            return Ok(self.join(from, Node::Includes { fact, option }));
        }
        self.step();
        self.reads(from, fact)
    }

    fn is_one_of(&mut self, from: usize, fact: Name<'a>) -> Parsed<Expr<'a>> {
        let negated = self.take_word("not");
        let several = self.take_word("one");
        if several {
            self.want_word("of")?;
        }
        let mut options = vec![self.name("an option")?];
        while several && self.take_sign(",") {
            options.push(self.name("an option")?);
        }
        Ok(self.join(
            from,
            Node::IsOneOf {
                fact,
                options,
                negated,
            },
        ))
    }

    fn reads(&mut self, from: usize, fact: Name<'a>) -> Parsed<Expr<'a>> {
        let zero = self.take_word("zero");
        if !zero {
            if !self.is_word("present") {
                return self.wrong("`zero` or `present`");
            }
            self.step();
        }
        let mut last = 1;
        if self.take_word("on") {
            self.want_word("the")?;
            self.want_word("last")?;
            last = match self.spot().token {
                Token::Number { value, unit: None }
                    if (1.0..=20.0).contains(&value) && value.fract() == 0.0 =>
                {
                    value as u32
                }
                _ => return self.wrong("a whole number from 1 to 20"),
            };
            self.step();
            self.want_word("readings")?;
        }
        Ok(self.join(from, Node::Reads { fact, zero, last }))
    }

    fn sum(&mut self) -> Parsed<Expr<'a>> {
        let signs = [("+", Operator::Add), ("-", Operator::Subtract)];
        self.joined_leftwards(signs, Self::product)
    }

    fn product(&mut self) -> Parsed<Expr<'a>> {
        let signs = [("*", Operator::Multiply), ("/", Operator::Divide)];
        self.joined_leftwards(signs, Self::factor)
    }

    /// Parts joined by two signs of one rank, the first two first.
    fn joined_leftwards(
        &mut self,
        signs: [(&str, Operator); 2],
        part: fn(&mut Self) -> Parsed<Expr<'a>>,
    ) -> Parsed<Expr<'a>> {
        let from = self.spot().from;
        let mut left = part(self)?;
        while let Some((_, operator)) = signs.iter().find(|(sign, _)| self.take_sign(sign)) {
            let (left_part, right) = (Box::new(left), Box::new(part(self)?));
            let node = Node::Arithmetic {
                operator: *operator,
                left: left_part,
                right,
            };
            left = self.join(from, node);
        }
        Ok(left)
    }

    fn factor(&mut self) -> Parsed<Expr<'a>> {
        let from = self.spot().from;
        if self.take_sign("-") {
            let inner = self.deeper(Self::factor)?;
            return Ok(self.join(from, Node::Negate(Box::new(inner))));
        }
        self.primary(from)
    }

    fn primary(&mut self, from: usize) -> Parsed<Expr<'a>> {
        match self.spot().token {
            Token::Number { value, unit } => {
                self.step();
                Ok(self.join(from, Node::Number { value, unit }))
            }
            Token::Date(days) => {
                self.step();
                Ok(self.join(from, Node::Date(days)))
            }
            Token::Sign("(") => {
                let open = self.spot();
                self.step();
                let inner = self.any()?;
                if !self.take_sign(")") {
                    return self.unclosed(open, "`and`, `or` or `)`");
                }
                Ok(Expr {
                    from,
                    to: self.spots[self.at - 1].to,
                    ..inner
                })
            }
            Token::Word(word) => self.word(from, word),
            _ => self.wrong("a fact, a number with its unit, or `(`"),
        }
    }

    fn word(&mut self, from: usize, word: &str) -> Parsed<Expr<'a>> {
        let series = match word {
            "highest" => Some(SeriesWord::Highest),
            "lowest" => Some(SeriesWord::Lowest),
            "age" => Some(SeriesWord::Age),
            "change" if self.next_is_word("of") => Some(SeriesWord::Change),
            _ => None,
        };
        if let Some(word) = series {
            self.step();
            return self.series(from, word);
        }
        let name = self.name("a fact")?;
        let open = self.spot();
        if self.take_sign("(") {
            let arguments = self.arguments(open)?;
            return Ok(self.join(from, Node::Call { name, arguments }));
        }
        Ok(self.join(from, Node::Name(name.value)))
    }

    fn next_is_word(&self, word: &str) -> bool {
        let next = self.spots.get(self.at + 1).map(|spot| &spot.token);
        next == Some(&Token::Word(word))
    }

    fn series(&mut self, from: usize, word: SeriesWord) -> Parsed<Expr<'a>> {
        if matches!(word, SeriesWord::Change | SeriesWord::Age) {
            self.want_word("of")?;
        }
        let fact = self.name("a series of readings")?;
        let mut window = None;
        if word != SeriesWord::Age {
            self.want_word("over")?;
            window = Some(Box::new(self.factor()?));
        }
        Ok(self.join(from, Node::Series { word, fact, window }))
    }

    fn arguments(&mut self, open: Spot<'a>) -> Parsed<Vec<Expr<'a>>> {
        let mut arguments = vec![self.deeper(Self::sum)?];
        while self.take_sign(",") {
            arguments.push(self.deeper(Self::sum)?);
        }
        if !self.take_sign(")") {
            return self.unclosed(open, "`,` or `)`");
        }
        Ok(arguments)
    }

    fn name(&mut self, expected: &str) -> Parsed<Name<'a>> {
        let spot = self.spot();
        match spot.token {
            Token::Word(value) if !RESERVED.contains(&value) => {
                self.step();
                Ok(Name {
                    value,
                    from: spot.from,
                    to: spot.to,
                })
            }
            _ => self.wrong(expected),
        }
    }
}
