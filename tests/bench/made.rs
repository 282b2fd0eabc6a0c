//! Made-up journals, each from its number alone: the stories of `tests/journals` varied, and one line in a thousand
//! broken.

use lentic::advice;
use lentic::journal::{Date, Journal, MAX_BYTES};
use serde_json::{Value, json};

use crate::random::Random;

/// The day on which they are asked about.
pub const ON: &str = "2026-09-25";

/// In each thousand of lines one is broken.
const BROKEN: u64 = 1_000;

/// The stories that lines are made of.
pub struct Stories {
    stories: Vec<Value>,
    on: Date,
}

/// A line of the input.
pub struct Line {
    pub bytes: Vec<u8>,
    /// How it is broken.
    pub broken: Option<&'static str>,
}

type Break = fn(Value, &mut Random) -> Vec<u8>;

/// Ways in which a line can be wrong.
const WAYS: [(&str, Break); 24] = [
    ("empty", |_, _| Vec::new()),
    ("blank", |_, _| b" \t ".to_vec()),
    ("cut off", |story, random| {
        let text = story.to_string();
        let end = text.char_indices().map(|(at, _)| at).skip(1);
        let ends: Vec<usize> = end.collect();
        text.as_bytes()[..ends[random.below(ends.len())]].to_vec()
    }),
    ("a byte that is no UTF-8", |story, random| {
        let mut bytes = story.to_string().into_bytes();
        let at = random.below(bytes.len());
        bytes.insert(at, 0xff);
        bytes
    }),
    ("a list", |story, _| json!([story]).to_string().into_bytes()),
    ("nothing", |_, _| b"null".to_vec()),
    ("a word", |_, _| b"journal".to_vec()),
    ("text after the end", |story, _| {
        format!("{story} and more").into_bytes()
    }),
    ("a semicolon", |story, _| {
        story.to_string().replacen(':', ";", 1).into_bytes()
    }),
    ("curly quotes", |story, _| {
        story.to_string().replacen('"', "\u{201c}", 2).into_bytes()
    }),
    ("a name twice", |story, _| {
        story
            .to_string()
            .replacen('{', "{\"name\":\"Twice\",", 1)
            .into_bytes()
    }),
    ("deep", |_, _| vec![b'['; 100_000]),
    ("too long", |_, _| vec![b' '; MAX_BYTES + 1]),
    ("no format", |story, _| {
        with(story, &["format"], Value::Null)
    }),
    ("a format to come", |story, _| {
        with(story, &["format"], json!("lentic-journal/9"))
    }),
    ("a field that is none", |story, _| {
        with(story, &["tonk"], json!({}))
    }),
    ("events that are none", |story, _| {
        with(story, &["events"], json!("some"))
    }),
    ("a fact that is none", |story, _| {
        with(story, &["tank", "nitrit"], json!("0 mg/L NO2"))
    }),
    ("a unit of another kind", |story, _| {
        with(story, &["tank", "net-volume"], json!("60 °C"))
    }),
    ("a number for a choice", |story, _| {
        with(story, &["tank", "start"], json!(7))
    }),
    ("no number", |story, _| {
        with(story, &["tank", "tap-kh"], json!("some °dH"))
    }),
    ("an option that is none", |story, _| {
        with(story, &["tank", "bed"], json!("lava"))
    }),
    ("a date that is none", |story, _| {
        event(story, "on", json!("2026-02-30"))
    }),
    ("an event that is none", |story, _| {
        event(story, "event", json!("sang"))
    }),
];

fn with(mut story: Value, path: &[&str], value: Value) -> Vec<u8> {
    let place = path.iter().fold(&mut story, |at, name| &mut at[*name]);
    *place = value;
    story.to_string().into_bytes()
}

/// One more event, with a field that is wrong.
fn event(mut story: Value, field: &str, value: Value) -> Vec<u8> {
    let mut event = json!({ "on": ON, "event": "filled" });
    event[field] = value;
    match story["events"].as_array_mut() {
        Some(events) => events.push(event),
        None => story["events"] = json!([event]),
    }
    story.to_string().into_bytes()
}

impl Stories {
    /// The stories of `tests/journals`.
    pub fn read() -> Stories {
        let on = Date::parse(ON).expect("a day");
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/journals");
        let entries = std::fs::read_dir(folder).expect("the folder of stories");
        let mut paths: Vec<_> = entries
            .map(|entry| entry.expect("an entry").path())
            .collect();
        paths.sort();
        let book = advice::built_in().expect("the built-in book");
        let texts = paths.iter().filter_map(|path| {
            let name = path.file_name()?.to_str()?;
            name.starts_with("story-")
                .then(|| std::fs::read_to_string(path).expect("a text"))
        });
        let answered = |text: &String| {
            Journal::from_json(text)
                .is_ok_and(|journal| advice::advise(&book, &journal, on).is_ok())
        };
        let stories = texts
            .filter(answered)
            .map(|text| serde_json::from_str(&text).expect("JSON"));
        let stories: Vec<Value> = stories.collect();
        assert!(stories.len() > 30, "{} stories", stories.len());
        Stories { stories, on }
    }

    /// The line of this number, from 1.
    pub fn line(&self, number: u64) -> Line {
        let mut random = Random(number);
        let story = self.story(number, &mut random);
        let thousand = number / BROKEN;
        if Random(!thousand).below(BROKEN as usize) as u64 != number % BROKEN {
            return Line {
                bytes: story.to_string().into_bytes(),
                broken: None,
            };
        }
        let (way, make) = WAYS[thousand as usize % WAYS.len()];
        Line {
            bytes: make(story, &mut random),
            broken: Some(way),
        }
    }

    /// A story under a name of its own, moved to days before the one that is asked about, with other readings.
    fn story(&self, number: u64, random: &mut Random) -> Value {
        let mut story = self.stories[random.below(self.stories.len())].clone();
        story["name"] = json!(name(number));
        let Some(events) = story["events"].as_array_mut() else {
            return story;
        };
        let day = |event: &Value| event["on"].as_str().and_then(|text| Date::parse(text).ok());
        let last = events.iter().filter_map(day).max().unwrap_or(self.on);
        let by = self.on.days_from(last) - random.below(10) as i32;
        for event in events {
            if let Some(day) = day(event) {
                event["on"] = json!(day.plus_days(by).to_string());
            }
            for test in ["total-ammonia", "nitrite", "nitrate"] {
                let reading = event
                    .get_mut("values")
                    .and_then(|values| values.get_mut(test));
                if let Some(reading) = reading.filter(|_| random.chance(80)) {
                    *reading = json!(lower(reading.as_str().unwrap_or_default(), random));
                }
            }
        }
        story
    }
}

/// What the tank of a line is called.
pub fn name(number: u64) -> String {
    format!("Tank {number}")
}

/// How many ways there are to be wrong.
pub fn ways() -> usize {
    WAYS.len()
}

/// A reading, or some tenths of it.
fn lower(text: &str, random: &mut Random) -> String {
    let (figure, unit) = text.split_once(' ').unwrap_or((text, ""));
    match figure.parse::<f64>() {
        Ok(figure) => format!("{} {unit}", figure * (1 + random.below(10)) as f64 / 10.0),
        // Such as `< 0.25 mg/L`.
        Err(_) => text.to_owned(),
    }
}
