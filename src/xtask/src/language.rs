//! The page in another language: its markup with other words in it.
//!
//! A file such as `www/de.json` holds the words of the page by their English. A text is what stands between two tags,
//! or an attribute that a reader meets. Where one English text needs two others, `PLACE: TEXT` tells them apart: the
//! place is the nearest `id` around it, or the name before it in a list of words. An element that says its own `lang`
//! keeps its words.

use anyhow::{Context, Result, ensure};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

/// The languages of the page besides its own.
pub const LANGUAGES: [&str; 1] = ["de"];

/// Attributes with words in them.
const WORDED: [&str; 4] = ["aria-label", "placeholder", "title", "alt"];
/// Elements that hold nothing and are not closed.
const VOID: [&str; 5] = ["input", "link", "meta", "br", "img"];
/// The manifest of the page, and the words in it.
pub const MANIFEST: &str = "manifest.webmanifest";
const MANIFEST_WORDS: [&str; 3] = ["name", "short_name", "description"];

/// What the build writes for one language.
pub struct Page {
    pub language: &'static str,
    pub markup: String,
    pub manifest: String,
}

/// The name of the page in a language.
pub fn page_name(language: &str) -> String {
    format!("{language}.html")
}

/// The name of the rule book's words in a language.
pub fn book_name(language: &str) -> String {
    format!("words/{language}.json")
}

/// The name of the manifest in a language.
pub fn manifest_name(language: &str) -> String {
    format!("manifest-{language}.webmanifest")
}

/// The page in each of its languages.
pub fn pages(source: &Path) -> Result<Vec<Page>> {
    LANGUAGES
        .iter()
        .map(|language| page(source, language))
        .collect()
}

fn page(source: &Path, language: &'static str) -> Result<Page> {
    let read = |name: &str| {
        fs::read_to_string(source.join(name)).with_context(|| format!("cannot read {name}"))
    };
    let name = format!("{language}.json");
    let words: BTreeMap<String, String> =
        serde_json::from_str(&read(&name)?).with_context(|| format!("cannot read {name}"))?;
    let mut translator = Translator::new(&words);
    let markup = translator.page(&read("index.html")?, language)?;
    let manifest = translator.manifest(&read(MANIFEST)?, language)?;
    translator
        .end()
        .with_context(|| format!("{name} and the page do not agree"))?;
    Ok(Page {
        language,
        markup,
        manifest,
    })
}

struct Translator<'a> {
    words: &'a BTreeMap<String, String>,
    used: BTreeSet<String>,
    wrong: Vec<String>,
}

/// An element that is open.
struct Open {
    tag: String,
    id: Option<String>,
    /// It says its language itself, or is a name that no reader meets.
    is_kept: bool,
}

impl<'a> Translator<'a> {
    fn new(words: &'a BTreeMap<String, String>) -> Self {
        Translator {
            words,
            used: BTreeSet::new(),
            wrong: Vec::new(),
        }
    }

    /// Refuses words that are missing, do not fit, or stand nowhere in the page.
    fn end(self) -> Result<()> {
        let mut wrong = self.wrong;
        let unused = self.words.keys().filter(|key| !self.used.contains(*key));
        wrong.extend(unused.map(|key| format!("nowhere in the page: {key:?}")));
        ensure!(wrong.is_empty(), "{}", wrong.join("\n"));
        Ok(())
    }

    fn page(&mut self, index: &str, language: &str) -> Result<String> {
        let mut written = String::new();
        let mut open: Vec<Open> = Vec::new();
        let mut place = String::new();
        let mut rest = index;
        while let Some(start) = rest.find('<') {
            let (text, tagged) = rest.split_at(start);
            written.push_str(&self.text(text, &open, &mut place));
            let end = if tagged.starts_with("<!--") {
                "-->"
            } else {
                ">"
            };
            let length = tagged
                .find(end)
                .with_context(|| format!("a tag has no end: {tagged:.40}"))?;
            let (tag, after) = tagged.split_at(length + end.len());
            written.push_str(&self.tag(tag, &mut open, language)?);
            rest = after;
        }
        written.push_str(rest);
        ensure!(open.is_empty(), "an element of the page is not closed");
        Ok(written)
    }

    fn tag(&mut self, tag: &str, open: &mut Vec<Open>, language: &str) -> Result<String> {
        if tag.starts_with("<!") {
            return Ok(tag.to_owned());
        }
        if let Some(name) = tag.strip_prefix("</") {
            let name = name.trim_end_matches('>');
            let last = open.pop().with_context(|| format!("{tag} ends nothing"))?;
            ensure!(last.tag == name, "{tag} ends <{}>", last.tag);
            return Ok(tag.to_owned());
        }
        let name: String = tag[1..]
            .chars()
            .take_while(|c| c.is_alphanumeric())
            .collect();
        let id = attribute(tag, "id").map(str::to_owned);
        let lang = attribute(tag, "lang");
        let is_kept = name == "dt" || (lang.is_some() && name != "html");
        let mut written = tag.to_owned();
        for worded in WORDED {
            if let Some(text) = attribute(tag, worded) {
                let place = id.as_deref().or_else(|| place_of(open));
                let said = self.said(text, place);
                written = with_attribute(&written, worded, &said);
            }
        }
        if name == "html" {
            written = with_attribute(&written, "lang", language);
        }
        if attribute(tag, "name") == Some("description") {
            let said = self.said(attribute(tag, "content").unwrap_or_default(), None);
            written = with_attribute(&written, "content", &said);
        }
        if attribute(tag, "rel") == Some("manifest") {
            written = with_attribute(&written, "href", &manifest_name(language));
        }
        if !VOID.contains(&&*name) && !tag.ends_with("/>") {
            open.push(Open {
                tag: name,
                id,
                is_kept,
            });
        }
        Ok(written)
    }

    fn text(&mut self, text: &str, open: &[Open], place: &mut String) -> String {
        let words = text.trim();
        let last = open.last().map(|open| &*open.tag);
        if last == Some("dt") {
            words.clone_into(place);
        }
        let place = match last {
            Some("dd") => Some(&**place),
            _ => place_of(open),
        };
        let is_sign = !has_letters(words) && self.key(words, place).is_none();
        if is_sign || open.iter().any(|open| open.is_kept) {
            return text.to_owned();
        }
        let start = text.len() - text.trim_start().len();
        let said = self.said(words, place);
        format!("{}{said}{}", &text[..start], &text[start + words.len()..])
    }

    fn manifest(&mut self, manifest: &str, language: &str) -> Result<String> {
        let mut manifest: serde_json::Map<String, Value> = serde_json::from_str(manifest)?;
        for name in MANIFEST_WORDS {
            let text = manifest.get(name).and_then(Value::as_str);
            let said = self.said(
                text.with_context(|| format!("{MANIFEST} lacks {name}"))?,
                None,
            );
            manifest.insert(name.to_owned(), said.into());
        }
        let page = format!("./{}", page_name(language));
        manifest.insert("lang".to_owned(), language.into());
        manifest.insert("id".to_owned(), page.clone().into());
        manifest.insert("start_url".to_owned(), page.into());
        Ok(serde_json::to_string_pretty(&manifest)?)
    }

    fn said(&mut self, text: &str, place: Option<&str>) -> String {
        let found = self.key(text, place);
        let Some((key, said)) = found else {
            let place = place.map(|place| format!(" ({place})")).unwrap_or_default();
            self.wrong.push(format!("not said: {text:?}{place}"));
            return text.to_owned();
        };
        if gaps(text) != gaps(said) {
            self.wrong.push(format!("other names in braces: {key:?}"));
        }
        if said.contains(['<', '>', '"']) {
            self.wrong.push(format!("markup in words: {key:?}"));
        }
        self.used.insert(key.clone());
        said.clone()
    }

    /// The words for a text, where there are any, with the key that they stand under.
    fn key(&self, text: &str, place: Option<&str>) -> Option<(&'a String, &'a String)> {
        let placed = place.and_then(|place| self.words.get_key_value(&format!("{place}: {text}")));
        placed.or_else(|| self.words.get_key_value(text))
    }
}

/// The nearest name around a text.
fn place_of(open: &[Open]) -> Option<&str> {
    open.iter().rev().find_map(|open| open.id.as_deref())
}

/// Whether there is anything to say in another language; `&lt;` is a sign.
fn has_letters(text: &str) -> bool {
    let mut parts = text.split('&');
    let first = parts.next().unwrap_or_default();
    let rest = parts.map(|part| part.split_once(';').map_or(part, |(_, after)| after));
    std::iter::once(first)
        .chain(rest)
        .any(|part| part.chars().any(char::is_alphabetic))
}

/// The names in braces, in order of the alphabet.
fn gaps(text: &str) -> BTreeSet<&str> {
    let parts = text.split('{').skip(1);
    parts
        .filter_map(|part| Some(part.split_once('}')?.0))
        .collect()
}

fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let (_, rest) = tag.split_once(&format!(" {name}=\""))?;
    Some(rest.split_once('"')?.0)
}

fn with_attribute(tag: &str, name: &str, value: &str) -> String {
    let old = attribute(tag, name).unwrap_or_default();
    tag.replacen(
        &format!(" {name}=\"{old}\""),
        &format!(" {name}=\"{value}\""),
        1,
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(pairs: &[(&str, &str)]) -> BTreeMap<String, String> {
        let owned = |(key, said): &(&str, &str)| ((*key).to_owned(), (*said).to_owned());
        pairs.iter().map(owned).collect()
    }

    fn told(markup: &str, pairs: &[(&str, &str)]) -> Result<String> {
        let words = words(pairs);
        let mut translator = Translator::new(&words);
        let written = translator.page(markup, "de")?;
        translator.end()?;
        Ok(written)
    }

    #[test]
    fn the_page_is_whole_in_every_language() {
        let pages = pages(&crate::command::top().join("www")).unwrap();
        assert_eq!(pages.len(), LANGUAGES.len());
    }

    #[test]
    fn texts_and_attributes_take_other_words_and_nothing_else_changes() {
        let markup = "<html lang=\"en-GB\"><!-- reed -->\n<p id=\"reed\" title=\"Reed\"> Pond <b>·</b></p>\n</html>";
        let said = told(markup, &[("Reed", "Schilf"), ("Pond", "Teich")]).unwrap();
        assert_eq!(
            said,
            "<html lang=\"de\"><!-- reed -->\n<p id=\"reed\" title=\"Schilf\"> Teich <b>·</b></p>\n</html>"
        );
    }

    #[test]
    fn a_place_tells_two_words_apart() {
        let markup = "<p id=\"a\">open</p><dl><dt>b</dt><dd>open</dd></dl>";
        let said = told(markup, &[("a: open", "offen"), ("b: open", "auf")]).unwrap();
        assert_eq!(said, "<p id=\"a\">offen</p><dl><dt>b</dt><dd>auf</dd></dl>");
    }

    #[test]
    fn a_text_in_its_own_language_is_left() {
        let markup = "<a lang=\"nl\">vijver</a>";
        assert_eq!(told(markup, &[]).unwrap(), markup);
    }

    #[test]
    fn a_sign_may_be_said_and_need_not_be() {
        assert_eq!(told("<p>?</p>", &[]).unwrap(), "<p>?</p>");
        assert_eq!(told("<p>?</p>", &[("?", "!")]).unwrap(), "<p>!</p>");
        assert_eq!(told("<p>&lt;</p>", &[]).unwrap(), "<p>&lt;</p>");
    }

    #[test]
    fn what_is_not_said_is_listed_whole() {
        let wrong = told("<p id=\"a\">reed<i>pond</i></p>", &[]).unwrap_err();
        assert_eq!(
            wrong.to_string(),
            "not said: \"reed\" (a)\nnot said: \"pond\" (a)"
        );
    }

    #[test]
    fn words_that_stand_nowhere_or_do_not_fit_are_refused() {
        for (markup, pair) in [
            ("<p></p>", ("reed", "Schilf")),
            ("<p>{count} reeds</p>", ("{count} reeds", "Schilf")),
            ("<p>reed</p>", ("reed", "<b>Schilf</b>")),
        ] {
            assert!(told(markup, &[pair]).is_err(), "{pair:?}");
        }
    }

    #[test]
    fn the_manifest_begins_with_the_page_of_its_language() {
        let words = words(&[("Reed", "Schilf"), ("All of it", "Alles")]);
        let mut translator = Translator::new(&words);
        let manifest = "{ \"name\": \"Reed\", \"short_name\": \"Reed\", \"description\": \"All of it\", \"lang\": \"en\" }";
        let said = translator.manifest(manifest, "de").unwrap();
        let said: Value = serde_json::from_str(&said).unwrap();
        assert_eq!(said["name"], "Schilf");
        assert_eq!(said["description"], "Alles");
        assert_eq!(said["lang"], "de");
        assert_eq!(said["start_url"], "./de.html");
    }
}
