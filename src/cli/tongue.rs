//! The program's own words, in the language of the book that answers.

use std::fmt::Display;
use std::sync::OnceLock;

use lentic::engine::Book;

/// What the program says in English and in German; each `{}` stands for a value, in the same order.
const GERMAN: &[(&str, &str)] = &[
    ("This tank", "Dieses Becken"),
    (
        "Nothing needs doing by what is known.",
        "Nach dem, was bekannt ist, muss nichts getan werden.",
    ),
    (
        "The book contradicts itself: {} and {}.",
        "Das Regelbuch widerspricht sich: {} und {}.",
    ),
    (
        "Entries dated after this day and left out: {}.",
        "Einträge nach diesem Tag, die weggelassen sind: {}.",
    ),
    ("{}, edition {}, {}.", "{}, Ausgabe {}, {}."),
    (
        "More on one point: lentic why {} NAME --on {}",
        "Mehr zu einem Punkt: lentic why {} NAME --on {}",
    ),
    ("withdrawn by {} [{}]: {}", "zurückgezogen von {} [{}]: {}"),
    ("   It would have said: ", "   Sie hätte gesagt: "),
    ("DANGER", "GEFAHR"),
    ("TODAY", "HEUTE"),
    ("SOON", "BALD"),
    ("NOTE", "HINWEIS"),
    (" (cannot be ruled out)", " (nicht auszuschließen)"),
    (
        ", in place of the book's own: {}",
        ", anstelle der Regel des Buchs: {}",
    ),
    ("A rule of {}{}.", "Eine Regel von {}{}."),
    ("   Why: ", "   Warum: "),
    ("   Amount: ", "   Menge: "),
    ("Rests on:", "Beruht auf:"),
    ("   Set aside for this: ", "   Dafür zurückgestellt: "),
    ("   Unless: ", "   Es sei denn: "),
    ("   Source: ", "   Quelle: "),
    ("   Caution: ", "   Vorsicht: "),
    ("To find out next", "Als Nächstes herauszufinden"),
    ("Set aside", "Zurückgestellt"),
    (
        "{} [{}] It would help to settle: {}.",
        "{} [{}] Das würde klären helfen: {}.",
    ),
    ("by {}: {}", "von {}: {}"),
    ("{}, because {}", "{}, denn: {}"),
    (
        ", {} times what the test may be off",
        ", das {}-fache dessen, was der Test danebenliegen kann",
    ),
    ("margin: {}{}", "Abstand: {}{}"),
    ("could be settled by: {}", "ließe sich klären durch: {}"),
    ("[yes] ", "[ja]   "),
    ("[no]  ", "[nein] "),
    ("[open]", "[offen]"),
    ("  source: ", "  Quelle: "),
    (", typed as {}", ", eingegeben als {}"),
    (", read {}", ", abgelesen {}"),
    ("published", "veröffentlicht"),
    ("common practice", "übliche Praxis"),
    (
        "from memory, not read again",
        "aus dem Gedächtnis, nicht noch einmal gelesen",
    ),
    ("  By the forecast: ", "  Nach der Vorhersage: "),
    ("Yes.", "Ja."),
    ("Not yet.", "Noch nicht."),
    ("No.", "Nein."),
    ("Cannot tell.", "Nicht zu sagen."),
    ("; find out: {}", "; herauszufinden: {}"),
    ("; by time alone on {}", "; durch die Zeit allein am {}"),
    ("met: ", "erfüllt: "),
    ("barred: ", "versperrt: "),
    ("not met: ", "nicht erfüllt: "),
    ("open: ", "offen: "),
    (
        "By time alone it would be met on {}.",
        "Durch die Zeit allein wäre es am {} erfüllt.",
    ),
    ("  Source: ", "  Quelle: "),
    ("  Caution: ", "  Vorsicht: "),
    ("   Set aside by: ", "   Zurückgestellt durch: "),
    ("it holds", "sie gilt"),
    (
        "it holds, and was set aside",
        "sie gilt und wurde zurückgestellt",
    ),
    ("it does not hold", "sie gilt nicht"),
    (
        "it cannot be decided yet",
        "es lässt sich noch nicht entscheiden",
    ),
    ("open", "offen"),
    ("no", "nein"),
    ("{}: {}; needed: {} [{}]", "{}: {}; nötig: {} [{}]"),
    (
        "By time alone it would speak on {}.",
        "Durch die Zeit allein spräche sie am {}.",
    ),
    ("  It would speak with ", "  Sie spräche mit "),
    ("{} at {} [{}].", "{} bei {} [{}]."),
    ("  It would speak with both: ", "  Sie spräche mit beidem: "),
    ("{} at {}, and {} at {}.", "{} bei {}, und {} bei {}."),
    (
        "No single entry would make it speak, and no pair within the bound of the search.",
        "Kein einzelner Eintrag brächte sie zum Sprechen, und kein Paar innerhalb der Grenze der Suche.",
    ),
    ("it speaks as a precaution", "sie spricht zur Vorsicht"),
    ("it speaks", "sie spricht"),
    (
        "No single entry would change it.",
        "Kein einzelner Eintrag würde es ändern.",
    ),
    ("the gate says: {}", "die Antwort heißt: {}"),
    ("Appears", "Kommt hinzu"),
    ("Vanishes", "Fällt weg"),
    ("Changes: ", "Ändert sich: "),
    ("   from: ", "   von:  "),
    ("   to:   ", "   zu:   "),
    ("Nothing would change.", "Nichts würde sich ändern."),
    (
        "weight {}; it could settle {}",
        "Gewicht {}; es könnte klären: {}",
    ),
    (
        "Nothing is open that an entry could settle.",
        "Nichts ist offen, was ein Eintrag klären könnte.",
    ),
    ("These alone decide it:", "Diese allein entscheiden es:"),
    ("So do these:", "Diese auch:"),
    ("; margin {}", "; Abstand {}"),
    ("{}, {}: what fits", "{}, {}: was passt"),
    (
        "No plant or animal is in the tank. Name some with --with, as in `neon-tetra x 10, java-fern`.",
        "Im Becken ist weder Pflanze noch Tier. Nenne welche mit --with, wie in `neon-tetra x 10, java-fern`.",
    ),
    ("Together", "Zusammen"),
    (
        "Pairs of which nothing is to be said: {} of {}.",
        "Paare, zu denen nichts zu sagen ist: {} von {}.",
    ),
    (
        "All that is known of each: lentic fit {} --json",
        "Alles, was von jedem bekannt ist: lentic fit {} --json",
    ),
    ("wanted", "gewünscht"),
    ("in the tank", "im Becken"),
    ("{} wanted", "{} gewünscht"),
    ("{} in the tank", "{} im Becken"),
    ("{} in the tank, {} in all", "{} im Becken, {} insgesamt"),
    (
        "Nothing clashes with the tank.",
        "Nichts widerspricht dem Becken.",
    ),
    ("  From: ", "  Aus: "),
    ("{} and {}", "{} und {}"),
    ("Cannot tell yet  [{}]: {}", "Noch nicht zu sagen  [{}]: {}"),
    ("Cannot tell  [{}].", "Nicht zu sagen  [{}]."),
    (
        "Open in the book until the species is named: {}.",
        "Im Regelbuch offen, bis die Art genannt ist: {}.",
    ),
    (
        "{}: not for this tank, so not among the steps.",
        "{}: nicht für dieses Becken, also nicht unter den Schritten.",
    ),
    ("In this order", "In dieser Reihenfolge"),
    (
        ", at least {} days after the step before",
        ", mindestens {} Tage nach dem Schritt davor",
    ),
    (
        " Settle first what clashes.",
        " Kläre zuerst, was nicht zusammengeht.",
    ),
    ("{}: forecast on {}", "{}: Vorhersage am {}"),
    ("the readings would fit", "die Messwerte würden passen"),
    (
        "the readings would fit better, though not well",
        "die Messwerte würden besser passen, aber nicht gut",
    ),
    (
        "A column is a day or more. : half of tanks like this one, . nine tenths, o the middle, # a reading, ^ today.",
        "Eine Spalte ist ein Tag oder mehr. : die Hälfte solcher Becken, . neun Zehntel, o die Mitte, # ein Messwert, ^ heute.",
    ),
    (
        "Tests that would tell most:",
        "Tests, die am meisten sagen würden:",
    ),
    ("{} on {}", "{} am {}"),
    (
        "Not in the journal, and so assumed:",
        "Nicht im Tagebuch, also angenommen:",
    ),
    ("{}, chance by then:", "{}, Wahrscheinlichkeit bis dahin:"),
    (
        "For {} % the book cannot tell, for want of other facts.",
        "Für {} % kann das Regelbuch es nicht sagen, weil anderes fehlt.",
    ),
    (
        "{} g by test: {} mg/L N dosed on {} was gone on {}.",
        "{} g nach einem Test: {} mg/L N, zugegeben am {}, waren am {} weg.",
    ),
    (
        "{} to {} g by the forecast.",
        "{} bis {} g nach der Vorhersage.",
    ),
    ("{}{} ({} to {})", "{}{} ({} bis {})"),
    (
        "from day {} with animals: {} g a day",
        "ab Tag {} mit Tieren: {} g am Tag",
    ),
    ("{}: plan on {}", "{}: Plan am {}"),
    (
        "The readings fit no tank that the forecast knows; `lentic forecast` says why that may be.",
        "Die Messwerte passen zu keinem Becken, das die Vorhersage kennt; `lentic forecast` sagt, woran das liegen kann.",
    ),
    (
        ", if the tests of the day say so",
        ", wenn die Tests des Tages es sagen",
    ),
    ("Water", "Wasser"),
    ("Water changes", "Wasserwechsel"),
    ("Hours for them", "Stunden dafür"),
    ("Ammonium chloride", "Ammoniumchlorid"),
    ("Plants are in on day", "Pflanzen sind drin am Tag"),
    (
        "Clean-up crew may come on day",
        "Erste Helfer dürfen kommen am Tag",
    ),
    ("Fish may come on day", "Fische dürfen kommen am Tag"),
    ("Cost at your prices", "Kosten nach deinen Preisen"),
    (
        "Followed on another bed: {}.",
        "Auf einem anderen Bodengrund gerechnet: {}.",
    ),
    (
        "{}: ways to start, filled on {}",
        "{}: Arten zu starten, gefüllt am {}",
    ),
    (
        "Each figure: the middle, and in brackets nine tenths of tanks like this one. + means beyond {} days.",
        "Jede Zahl: die Mitte, und in Klammern neun Zehntel solcher Becken. + heißt: nach mehr als {} Tagen.",
    ),
    (
        "  Days with more ammonia than plants bear, and the chance of losing some",
        "  Tage mit zu viel Ammonium für Pflanzen, und wie wahrscheinlich Verluste sind",
    ),
    (
        "Worked out from facts of the book",
        "Ausgerechnet aus Angaben des Regelbuchs",
    ),
    ("number", "Zahl"),
    ("  Also: ", "  Dazu: "),
    ("  Note: ", "  Hinweis: "),
    ("  Take care: ", "  Vorsicht: "),
    ("the same book", "dasselbe Regelbuch"),
    (
        "another book, or another edition of it",
        "ein anderes Regelbuch, oder eine andere Ausgabe",
    ),
    ("Same", "Gleich"),
    ("It differs", "Es weicht ab"),
    ("{}, by {}.", "{}, nach: {}."),
    ("    recorded: ", "    damals: "),
    ("    now:      ", "    jetzt:  "),
    ("Edition {}, digest {}.", "Ausgabe {}, Prüfsumme {}."),
    ("Contents", "Inhalt"),
    (", one rule", ", eine Regel"),
    (", {} rules", ", {} Regeln"),
    ("Glossary", "Wörter"),
    ("Sources", "Quellen"),
    (
        "{} rules and {} gates over {} facts. Of the rules, {} rest on published works, {} on common practice, {} on works cited from memory.",
        "{} Regeln und {} Fragen, ob man darf, über {} Angaben. Von den Regeln beruhen {} auf Veröffentlichungen, {} auf üblicher Praxis, {} auf Werken, die aus dem Gedächtnis genannt sind.",
    ),
    ("Caution", "Vorsicht"),
    ("; only while the gate ", "; nur solange auf die Frage "),
    (" is open", " die Antwort Ja ist"),
    ("Advises", "Rät"),
    ("unless ", "außer wenn "),
    ("during ", "während "),
    ("When all of these hold", "Wenn all dies gilt"),
    ("Do", "Tu dies"),
    ("Because", "Weil"),
    ("Amount", "Menge"),
    ("it speaks, as a precaution", "sie spricht, zur Vorsicht"),
    (
        "it asks for what could decide it",
        "sie fragt nach dem, was es entscheiden könnte",
    ),
    ("it says nothing", "sie sagt nichts"),
    ("While undecided", "Solange es offen ist"),
    (", because {}", ", denn {}"),
    ("Overrules", "Geht vor"),
    ("Needs", "Braucht"),
    ("Is barred by", "Ist versperrt durch"),
    ("Take care", "Vorsicht dabei"),
    ("Source", "Quelle"),
    ("Rests on", "Beruht auf"),
    ("Used by", "Gebraucht von"),
    ("Overruled by", "Tritt zurück vor"),
];

/// The table of the language that was chosen.
static CHOSEN: OnceLock<&[(&str, &str)]> = OnceLock::new();

/// The decimal mark of the book.
static MARK: OnceLock<String> = OnceLock::new();

/// Lets the program speak the language of a book from here on, if it knows it.
pub(crate) fn speak(book: &Book) {
    let language = book.language();
    if language == "de" || language.starts_with("de-") {
        let _ = CHOSEN.set(GERMAN);
    }
    let _ = MARK.set(book.figures("0.5".into()).replace(['0', '5'], ""));
}

/// Words in that language.
pub(crate) fn said(english: &'static str) -> &'static str {
    let table = CHOSEN.get().copied().unwrap_or_default();
    let known = table.iter().find(|(known, _)| *known == english);
    known.map_or(english, |(_, own)| own)
}

/// A number that stands alone, with the decimal mark of the book.
pub(crate) fn number(text: impl Display) -> String {
    let mark = MARK.get().map_or(".", String::as_str);
    text.to_string().replace('.', mark)
}

/// A sentence with values in it.
pub(crate) fn filled(english: &'static str, values: &[&dyn Display]) -> String {
    let mut parts = said(english).split("{}");
    let mut text = parts.next().unwrap_or_default().to_owned();
    for (value, part) in values.iter().zip(parts) {
        text.push_str(&value.to_string());
        text.push_str(part);
    }
    text
}

/// A sentence with values in it, in the language of the book.
macro_rules! told {
    ($english:literal $(, $value:expr)* $(,)?) => {
        $crate::tongue::filled($english, &[$(&$value),*])
    };
}

pub(crate) use told;

#[cfg(test)]
mod tests {
    use super::GERMAN;

    #[test]
    fn each_sentence_is_said_once_and_tells_as_many_values() {
        for (at, (english, german)) in GERMAN.iter().enumerate() {
            assert_ne!(english, german);
            let places = |text: &str| text.matches("{}").count();
            assert_eq!(places(english), places(german), "{english}");
            let again = GERMAN[..at].iter().any(|(other, _)| other == english);
            assert!(!again, "`{english}` stands here twice");
        }
    }

    #[test]
    fn the_table_holds_only_what_the_program_says() {
        let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/cli");
        let listed = |path| std::fs::read_dir(path).expect("a folder of the program");
        let mut sources = String::new();
        for entry in listed(folder.clone()).chain(listed(folder.join("book"))) {
            let path = entry.expect("an entry").path();
            if path.is_file() && !path.ends_with("tongue.rs") {
                sources.push_str(&std::fs::read_to_string(path).expect("a source"));
            }
        }
        // A long sentence goes on over the end of a line.
        let lines: Vec<&str> = sources.split("\\\n").map(str::trim_start).collect();
        let sources = lines.concat();
        for (english, _) in GERMAN {
            let written = format!("{english:?}");
            assert!(sources.contains(&written), "nothing says {written}");
        }
    }
}
