//! Some fields of a value, written without the others being made.

use std::cell::RefCell;
use std::collections::BTreeSet;

use serde::ser::{
    Error, Impossible, Serialize, SerializeMap, SerializeSeq, SerializeStruct, Serializer,
};

/// Paths such as `advice.rule`, joined where they begin alike.
#[derive(Default)]
pub(crate) struct Fields {
    /// Which of the paths end here.
    ends: Vec<usize>,
    below: Vec<(String, Fields)>,
}

impl Fields {
    pub(crate) fn of(paths: &[Vec<&str>]) -> Fields {
        let mut fields = Fields::default();
        for (index, path) in paths.iter().enumerate() {
            fields.add(path, index);
        }
        fields
    }

    fn add(&mut self, path: &[&str], index: usize) {
        let [name, rest @ ..] = path else {
            self.ends.push(index);
            return;
        };
        let known = self.below.iter().position(|(known, _)| known == name);
        let at = known.unwrap_or_else(|| {
            self.below.push(((*name).to_owned(), Fields::default()));
            self.below.len() - 1
        });
        self.below[at].1.add(rest, index);
    }

    fn within(&self, name: &str) -> Option<&Fields> {
        let mut below = self.below.iter();
        below
            .find(|(known, _)| known == name)
            .map(|(_, fields)| fields)
    }

    /// Notes that all paths through here lead somewhere.
    fn tell_all(&self, found: &Found) {
        found.borrow_mut().extend(&self.ends);
        self.below
            .iter()
            .for_each(|(_, fields)| fields.tell_all(found));
    }
}

/// Which of the paths led anywhere.
pub(crate) type Found = RefCell<BTreeSet<usize>>;

/// A value of which only these fields are written; within a list, those of each item. What has no fields is null.
pub(crate) struct Part<'a, T: ?Sized> {
    pub value: &'a T,
    pub fields: &'a Fields,
    pub found: &'a Found,
}

impl<T: Serialize + ?Sized> Serialize for Part<'_, T> {
    fn serialize<S: Serializer>(&self, inner: S) -> Result<S::Ok, S::Error> {
        let (fields, found) = (self.fields, self.found);
        if fields.ends.is_empty() {
            return self.value.serialize(Picking {
                inner,
                fields,
                found,
            });
        }
        fields.tell_all(found);
        self.value.serialize(inner)
    }
}

/// What a value is written to: it hands on the fields that are wanted.
struct Picking<'a, S> {
    inner: S,
    fields: &'a Fields,
    found: &'a Found,
}

/// Methods for what has no fields.
macro_rules! null {
    ($($method:ident($($kind:ty),*);)*) => {
        $(fn $method(self, $(_: $kind),*) -> Result<S::Ok, S::Error> {
            self.inner.serialize_unit()
        })*
    };
}

/// Methods for kinds of values that no answer holds.
macro_rules! none {
    ($($method:ident($($kind:ty),*) -> $made:ident;)*) => {
        $(fn $method(self, $(_: $kind),*) -> Result<Self::$made, S::Error> {
            Err(S::Error::custom(concat!(stringify!($method), " has no part")))
        })*
    };
}

impl<'a, S: Serializer> Serializer for Picking<'a, S> {
    type Ok = S::Ok;
    type Error = S::Error;
    type SerializeSeq = Picking<'a, S::SerializeSeq>;
    type SerializeStruct = Picking<'a, S::SerializeMap>;
    type SerializeMap = Impossible<S::Ok, S::Error>;
    type SerializeTuple = Impossible<S::Ok, S::Error>;
    type SerializeTupleStruct = Impossible<S::Ok, S::Error>;
    type SerializeTupleVariant = Impossible<S::Ok, S::Error>;
    type SerializeStructVariant = Impossible<S::Ok, S::Error>;

    null! {
        serialize_bool(bool);
        serialize_i8(i8);
        serialize_i16(i16);
        serialize_i32(i32);
        serialize_i64(i64);
        serialize_u8(u8);
        serialize_u16(u16);
        serialize_u32(u32);
        serialize_u64(u64);
        serialize_f32(f32);
        serialize_f64(f64);
        serialize_char(char);
        serialize_str(&str);
        serialize_bytes(&[u8]);
        serialize_none();
        serialize_unit();
        serialize_unit_struct(&'static str);
        serialize_unit_variant(&'static str, u32, &'static str);
    }

    none! {
        serialize_map(Option<usize>) -> SerializeMap;
        serialize_tuple(usize) -> SerializeTuple;
        serialize_tuple_struct(&'static str, usize) -> SerializeTupleStruct;
        serialize_tuple_variant(&'static str, u32, &'static str, usize) -> SerializeTupleVariant;
        serialize_struct_variant(&'static str, u32, &'static str, usize) -> SerializeStructVariant;
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<S::Ok, S::Error> {
        value.serialize(self)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Result<S::Ok, S::Error> {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        value: &T,
    ) -> Result<S::Ok, S::Error> {
        value.serialize(self)
    }

    fn serialize_seq(self, length: Option<usize>) -> Result<Self::SerializeSeq, S::Error> {
        if length == Some(0) {
            // An empty list hides whether its items would have the fields.
            self.fields.tell_all(self.found);
        }
        Ok(Picking {
            inner: self.inner.serialize_seq(length)?,
            fields: self.fields,
            found: self.found,
        })
    }

    fn serialize_struct(
        self,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeStruct, S::Error> {
        Ok(Picking {
            inner: self.inner.serialize_map(None)?,
            fields: self.fields,
            found: self.found,
        })
    }
}

impl<S: SerializeSeq> SerializeSeq for Picking<'_, S> {
    type Ok = S::Ok;
    type Error = S::Error;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), S::Error> {
        self.inner.serialize_element(&Part {
            value,
            fields: self.fields,
            found: self.found,
        })
    }

    fn end(self) -> Result<S::Ok, S::Error> {
        self.inner.end()
    }
}

impl<S: SerializeMap> SerializeStruct for Picking<'_, S> {
    type Ok = S::Ok;
    type Error = S::Error;

    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        name: &'static str,
        value: &T,
    ) -> Result<(), S::Error> {
        let Some(fields) = self.fields.within(name) else {
            return Ok(());
        };
        self.inner.serialize_entry(
            name,
            &Part {
                value,
                fields,
                found: self.found,
            },
        )
    }

    fn end(self) -> Result<S::Ok, S::Error> {
        self.inner.end()
    }
}

#[cfg(test)]
mod tests {
    use serde::Serialize;
    use serde_json::json;

    use super::{Fields, Found, Part};

    #[derive(Serialize)]
    struct Shelf {
        name: &'static str,
        jars: Vec<Jar>,
        spare: Vec<Jar>,
        best: Option<Jar>,
        lid: Option<Jar>,
    }

    #[derive(Serialize)]
    struct Jar {
        salt: f64,
        marks: Vec<u8>,
    }

    #[test]
    fn only_the_fields_asked_for_are_written_and_those_that_are_none_are_known() {
        let jar = |salt| Jar {
            salt,
            marks: vec![1, 2],
        };
        let shelf = Shelf {
            name: "upper",
            jars: vec![jar(0.5), jar(2.0)],
            spare: Vec::new(),
            best: Some(jar(3.0)),
            lid: None,
        };
        for (paths, part, found) in [
            (vec!["name"], json!({ "name": "upper" }), vec![0]),
            (
                vec!["jars.salt", "name"],
                json!({ "name": "upper", "jars": [{ "salt": 0.5 }, { "salt": 2.0 }] }),
                vec![0, 1],
            ),
            (
                vec!["best", "best.salt", "lid.salt"],
                json!({ "best": { "salt": 3.0, "marks": [1, 2] }, "lid": null }),
                vec![0, 1],
            ),
            (
                vec!["spare.salt", "best.marks.depth", "name.first", "none"],
                json!({ "name": null, "spare": [], "best": { "marks": [null, null] } }),
                vec![0],
            ),
        ] {
            let split: Vec<Vec<&str>> =
                paths.iter().map(|path| path.split('.').collect()).collect();
            let told = Found::default();
            let written = serde_json::to_value(Part {
                value: &shelf,
                fields: &Fields::of(&split),
                found: &told,
            });
            assert_eq!(written.expect("a part"), part, "{paths:?}");
            assert_eq!(
                told.into_inner().into_iter().collect::<Vec<_>>(),
                found,
                "{paths:?}"
            );
        }
    }
}
