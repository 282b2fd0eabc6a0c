//! Units: a factor, a dimension, and what a concentration is counted as.

use std::collections::BTreeMap;

/// Powers of the base dimensions a book declares, by their place in the list; a power of zero is left out.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Dimension(Vec<(u16, i8)>);

impl Dimension {
    pub fn base(index: u16) -> Dimension {
        Dimension(vec![(index, 1)])
    }

    pub fn is_none(&self) -> bool {
        self.0.is_empty()
    }

    pub fn times(&self, other: &Dimension, power: i8) -> Dimension {
        let mut powers = self.0.clone();
        for (base, exponent) in &other.0 {
            let more = exponent.saturating_mul(power);
            match powers.binary_search_by_key(base, |(own, _)| *own) {
                Ok(at) => powers[at].1 = powers[at].1.saturating_add(more),
                Err(at) => powers.insert(at, (*base, more)),
            }
        }
        powers.retain(|(_, exponent)| *exponent != 0);
        Dimension(powers)
    }
}

/// What kind of number something is: its dimension, and whether it is a point on a scale (a date, a temperature)
/// rather than an amount.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Measure {
    pub dimension: Dimension,
    pub point: bool,
}

#[derive(Debug, Clone)]
pub(crate) struct Unit {
    pub name: String,
    pub dimension: Dimension,
    pub factor: f64,
    /// The reading of this scale at which the main unit stands at zero.
    pub zero: Option<f64>,
    /// Whether a number may stand without this unit.
    pub bare: bool,
    /// How it is written beside one, and beside any other number; as its name where nothing is said.
    pub says: Option<[String; 2]>,
}

impl Unit {
    pub fn measure(&self) -> Measure {
        Measure {
            dimension: self.dimension.clone(),
            point: self.zero.is_some(),
        }
    }

    /// The unit as it stands beside a number.
    pub fn said(&self, number: &str) -> &str {
        match &self.says {
            Some([one, many]) => {
                if number == "1" {
                    one
                } else {
                    many
                }
            }
            None => &self.name,
        }
    }

    /// A value of this unit in the main unit. Readings and thresholds both go through here, so equal stays equal.
    pub fn to_main(&self, value: f64) -> f64 {
        self.difference_to_main(value - self.zero.unwrap_or(0.0))
    }

    #[expect(
        clippy::wrong_self_convention,
        reason = "the unit converts, the value is converted"
    )]
    pub fn from_main(&self, value: f64) -> f64 {
        self.difference_from_main(value) + self.zero.unwrap_or(0.0)
    }

    /// A difference of two values of this unit, in the main unit.
    pub fn difference_to_main(&self, value: f64) -> f64 {
        match self.parts() {
            Some(parts) => value / parts,
            None => value * self.factor,
        }
    }

    /// A difference in the main unit, in this one.
    pub fn difference_from_main(&self, value: f64) -> f64 {
        match self.parts() {
            Some(parts) => value * parts,
            None => value / self.factor,
        }
    }

    /// How many of this unit make one of the main, where that is a whole number: 30 % is then 30 / 100, which is the
    /// number nearest to 0.3, and not 30 × 0.01, which is not.
    fn parts(&self) -> Option<f64> {
        let parts = libm::round(1.0 / self.factor);
        (self.factor < 1.0 && 1.0 / parts == self.factor).then_some(parts)
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct UnitId(pub u32);

/// Places by name. Whatever is looked up by name uses this one kind of map, as each further kind would make
/// WebAssembly larger by a map of its own.
pub(crate) type Index = BTreeMap<String, u32>;

/// All units of a book, and the spellings by which they are found.
#[derive(Debug, Clone, Default)]
pub(crate) struct Units {
    pub units: Vec<Unit>,
    pub bases: Vec<String>,
    /// Every spelling that stands in the book, whether its unit could be read or not.
    pub declared: Vec<String>,
    spellings: Index,
    /// Length in bytes of the longest spelling.
    longest: usize,
    /// What vague units may stand for, by their places in the list behind.
    vague: Index,
    meanings: Vec<Vec<UnitId>>,
}

impl Units {
    pub fn get(&self, id: UnitId) -> &Unit {
        &self.units[id.0 as usize]
    }

    #[inline(never)]
    pub fn find(&self, spelling: &str) -> Option<UnitId> {
        self.spellings.get(spelling).map(|unit| UnitId(*unit))
    }

    /// Lets a unit be found by a spelling; gives the unit that had it before.
    pub fn spell(&mut self, spelling: &str, id: UnitId) -> Option<UnitId> {
        self.longest = self.longest.max(spelling.len());
        let before = self.spellings.insert(spelling.to_owned(), id.0);
        before.map(UnitId)
    }

    /// Lets a spelling stand for one of some units.
    pub fn spell_vague(&mut self, spelling: &str, means: Vec<UnitId>) {
        let place = self.meanings.len() as u32;
        self.vague.insert(spelling.to_owned(), place);
        self.meanings.push(means);
    }

    /// The units that a vague one may stand for.
    pub fn meanings(&self, spelling: &str) -> Option<&Vec<UnitId>> {
        let place = self.vague.get(spelling)?;
        self.meanings.get(*place as usize)
    }

    /// The longest unit spelling with which `text` starts, and its length in bytes.
    pub fn longest_prefix(&self, text: &str) -> Option<(UnitId, usize)> {
        (1..=self.longest.min(text.len()))
            .rev()
            .filter(|length| text.is_char_boundary(*length) && ends_a_word(text, *length))
            .find_map(|length| Some((self.find(&text[..length])?, length)))
    }

    /// Every spelling, for suggestions.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.spellings.keys().map(String::as_str)
    }

    pub fn time(&self) -> Option<Dimension> {
        let index = self.bases.iter().position(|base| base == "time")?;
        Some(Dimension::base(index as u16))
    }

    /// A unit of this dimension to name it by: the first declared.
    pub fn example(&self, dimension: &Dimension) -> Option<&Unit> {
        self.units.iter().find(|unit| unit.dimension == *dimension)
    }
}

/// A unit must not stop in the middle of a word: `mg/L N` is no prefix of `mg/L NO2`.
fn ends_a_word(text: &str, at: usize) -> bool {
    let last = text[..at].chars().next_back();
    let next = text[at..].chars().next();
    let runs_on = |c: char| c.is_alphanumeric() || c == '/' || c == '+' || c == '%' || c == '°';
    !matches!((last, next), (Some(a), Some(b)) if runs_on(b) && (a.is_alphanumeric() || b == '/') )
}
