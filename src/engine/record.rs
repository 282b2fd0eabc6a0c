//! Two answers held against one another, field by field.

use serde::Serialize;
use serde_json::Value;

/// One field that differs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "page", derive(tsify::Tsify), tsify(missing_as_null))]
#[non_exhaustive]
pub struct FieldDiffers {
    /// Where it stands, as in `answer.advice[0].urgency`.
    pub place: String,
    /// What the record says, as JSON; empty if it has nothing there.
    pub recorded: String,
    /// What the fresh answer says, as JSON; empty if it has nothing there.
    pub now: String,
}

/// What differs between a recorded answer and a fresh one, both as JSON; `place` is what their root is called.
#[must_use]
pub fn fields_that_differ(place: &str, recorded: &Value, now: &Value) -> Vec<FieldDiffers> {
    let mut differs = Vec::new();
    compare(place, Some(recorded), Some(now), &mut differs);
    differs
}

fn compare(
    place: &str,
    recorded: Option<&Value>,
    now: Option<&Value>,
    differs: &mut Vec<FieldDiffers>,
) {
    match (recorded, now) {
        (Some(Value::Object(old)), Some(Value::Object(new))) => {
            let extra = new.keys().filter(|key| !old.contains_key(*key));
            for key in old.keys().chain(extra) {
                compare(
                    &format!("{place}.{key}"),
                    old.get(key),
                    new.get(key),
                    differs,
                );
            }
        }
        (Some(Value::Array(old)), Some(Value::Array(new))) => {
            for index in 0..old.len().max(new.len()) {
                compare(
                    &format!("{place}[{index}]"),
                    old.get(index),
                    new.get(index),
                    differs,
                );
            }
        }
        (recorded, now) if recorded != now => {
            let text = |value: Option<&Value>| value.map(Value::to_string).unwrap_or_default();
            differs.push(FieldDiffers {
                place: place.to_owned(),
                recorded: text(recorded),
                now: text(now),
            });
        }
        _ => {}
    }
}
