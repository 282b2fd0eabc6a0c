//! A forecast as a picture: one drawing for the program and the page.
//!
//! The colours are attributes, so that a style sheet around the picture may set others; the style inside only turns
//! them for dark rooms.

use std::fmt::Write;

use super::forecast::{Curve, Forecast};
use super::phrases::{
    BAND, BY_THEN, CHANCE_BY_DAY, FORECAST, FORECAST_OF, MARKS, TINTS, TODAY_MARK, TOLD_ON,
};
use crate::engine::Book;

const WIDTH: f64 = 720.0;
const LEFT: f64 = 56.0;
const RIGHT: f64 = 704.0;
const TOP: f64 = 64.0;
const PANEL: f64 = 104.0;
const STEP: f64 = 144.0;
const DAYS_A_WEEK: usize = 7;

const PAPER: &str = "#fdfbf6";
const INK: &str = "#24292a";
const FAINT: &str = "#575d5a";
const LINE: &str = "#d8d1c1";
const ACCENT: &str = "#86431b";

const STYLE: &str = "@media(prefers-color-scheme:dark){.paper{fill:#222522}.ink{fill:#e6e1d5}.faint{fill:#aaa899}\
.line{stroke:#3c3f39}.band{fill:#e2a877}.middle,.likely{stroke:#e2a877}.reading,.today{stroke:#e6e1d5}\
.deed{stroke:#aaa899}.deed.done{fill:#aaa899}}";

/// A forecast by a book as SVG, readable in light and in dark rooms; its description holds the figures week by week.
#[must_use]
pub fn picture(book: &Book, forecast: &Forecast) -> String {
    let panels = forecast.curves.len() + usize::from(forecast.done.is_some());
    let bottom = TOP + STEP * panels as f64;
    let height = bottom + 62.0;
    let mut drawing = Drawing {
        book,
        text: String::new(),
        days: forecast.days.len().max(2) - 1,
    };
    let title = match forecast.tank.as_str() {
        "" => book.say(&FORECAST, []),
        tank => book.say(&FORECAST_OF, [tank]),
    };
    drawing.add(&format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {height}\" role=\"img\" \
         aria-labelledby=\"forecast-title forecast-desc\" font-family=\"Georgia, serif\" font-size=\"13\">\n\
         <title id=\"forecast-title\">{}</title>\n<desc id=\"forecast-desc\">{}</desc>\n<style>{STYLE}</style>\n\
         <rect class=\"paper\" width=\"{WIDTH}\" height=\"{height}\" fill=\"{PAPER}\"/>\n",
        escaped(&title),
        escaped(&described(book, forecast)),
    ));
    drawing.words(LEFT, 24.0, "ink", INK, &title);
    drawing.words(
        LEFT,
        43.0,
        "faint",
        FAINT,
        &book.say(&TOLD_ON, [&forecast.date, &forecast.book.title]),
    );
    for (panel, curve) in forecast.curves.iter().enumerate() {
        drawing.panel(TOP + STEP * panel as f64, curve);
    }
    if let Some(done) = &forecast.done {
        let top = TOP + STEP * forecast.curves.len() as f64;
        drawing.chance(top, &done.label, &done.chance);
        if let Some(likely) = &done.likely {
            let day = forecast.days.iter().position(|date| date == likely);
            if let Some(day) = day {
                let (x, end) = (drawing.x(day as f64), bottom - STEP + PANEL + 20.0);
                drawing.add(&format!(
                    "<line class=\"likely\" x1=\"{x:.1}\" y1=\"{TOP}\" x2=\"{x:.1}\" y2=\"{end:.1}\" stroke=\"{ACCENT}\" \
                     stroke-width=\"1.5\" stroke-dasharray=\"1 3\"/>\n"
                ));
            }
        }
    }
    drawing.today(forecast, bottom);
    drawing.happenings(forecast, bottom);
    drawing.dates(forecast, bottom + 4.0);
    drawing.add("</svg>\n");
    drawing.text
}

struct Drawing<'a> {
    book: &'a Book,
    text: String,
    days: usize,
}

impl Drawing<'_> {
    fn add(&mut self, text: &str) {
        self.text.push_str(text);
    }

    fn x(&self, day: f64) -> f64 {
        LEFT + (RIGHT - LEFT) * day / self.days as f64
    }

    fn words(&mut self, x: f64, y: f64, class: &str, fill: &str, text: &str) {
        let text = escaped(text);
        self.add(&format!(
            "<text class=\"{class}\" x=\"{x:.1}\" y=\"{y:.1}\" fill=\"{fill}\">{text}</text>\n"
        ));
    }

    fn frame(&mut self, top: f64, label: &str, marks: [(f64, String); 2]) {
        let floor = top + 20.0 + PANEL;
        self.words(LEFT, top + 12.0, "ink", INK, label);
        for (y, text) in marks {
            self.add(&format!(
                "<line class=\"line\" x1=\"{LEFT}\" y1=\"{y:.1}\" x2=\"{RIGHT}\" y2=\"{y:.1}\" stroke=\"{LINE}\"/>\n\
                 <text class=\"faint\" x=\"{:.1}\" y=\"{:.1}\" fill=\"{FAINT}\" text-anchor=\"end\">{text}</text>\n",
                LEFT - 8.0,
                (y + 4.0).min(floor + 4.0),
            ));
        }
    }

    fn panel(&mut self, top: f64, curve: &Curve) {
        let (low, high) = span(curve);
        let (roof, floor) = (top + 20.0, top + 20.0 + PANEL);
        let y = |value: f64| floor - PANEL * ((value - low) / (high - low)).clamp(0.0, 1.0);
        let marks = [(floor, figure(low)), (roof, figure(high))];
        let marks = marks.map(|(y, mark)| (y, self.book.figures(mark)));
        let label = if curve.unit == curve.label {
            curve.label.clone()
        } else {
            format!("{}, {}", curve.label, curve.unit)
        };
        self.frame(top, &label, marks);
        for (outer, opacity) in [((0, 4), 0.18), ((1, 3), 0.3)] {
            let edge = |(day, band): (usize, &[f64; 5]), line: usize| {
                format!("{:.1} {:.1}", self.x(day as f64), y(band[line]))
            };
            let days = || curve.bands.iter().enumerate();
            let over: Vec<String> = days().map(|at| edge(at, outer.1)).collect();
            let under: Vec<String> = days().rev().map(|at| edge(at, outer.0)).collect();
            let path = format!("M{}L{}Z", over.join("L"), under.join("L"));
            self.add(&format!(
                "<path class=\"band\" d=\"{path}\" fill=\"{ACCENT}\" fill-opacity=\"{opacity}\"/>\n"
            ));
        }
        let middle: Vec<String> = curve
            .bands
            .iter()
            .enumerate()
            .map(|(day, band)| format!("{:.1} {:.1}", self.x(day as f64), y(band[2])))
            .collect();
        self.add(&format!(
            "<path class=\"middle\" d=\"M{}\" fill=\"none\" stroke=\"{ACCENT}\" stroke-width=\"1.5\"/>\n",
            middle.join("L")
        ));
        for reading in &curve.readings {
            let x = self.x(reading.day);
            // What is known exactly still has to be seen.
            let (over, under) = (y(reading.high) - 1.5, y(reading.low) + 1.5);
            self.add(&format!(
                "<path class=\"reading\" d=\"M{x:.1} {over:.1}V{under:.1}M{:.1} {over:.1}H{:.1}M{:.1} {under:.1}H{:.1}\" \
                 stroke=\"{INK}\" stroke-width=\"1.5\"><title>{}</title></path>\n",
                x - 2.5,
                x + 2.5,
                x - 2.5,
                x + 2.5,
                escaped(&reading.typed),
            ));
        }
    }

    fn chance(&mut self, top: f64, label: &str, chance: &[f64]) {
        let floor = top + 20.0 + PANEL;
        let marks = [(floor, "0 %".to_owned()), (top + 20.0, "100 %".to_owned())];
        let label = self.book.say(&CHANCE_BY_DAY, [label]);
        self.frame(top, &label, marks);
        let mut path = format!("M{:.1} {floor:.1}", self.x(0.0));
        for (day, share) in chance.iter().enumerate() {
            let _ = write!(
                path,
                "L{:.1} {:.1}",
                self.x(day as f64),
                floor - PANEL * share
            );
        }
        let _ = write!(path, "L{:.1} {floor:.1}Z", self.x(self.days as f64));
        self.add(&format!(
            "<path class=\"band\" d=\"{path}\" fill=\"{ACCENT}\" fill-opacity=\"0.3\"/>\n"
        ));
    }

    fn today(&mut self, forecast: &Forecast, bottom: f64) {
        if forecast.today < 0 || forecast.today as usize > self.days {
            return;
        }
        let x = self.x(f64::from(forecast.today));
        self.add(&format!(
            "<line class=\"today\" x1=\"{x:.1}\" y1=\"{TOP}\" x2=\"{x:.1}\" y2=\"{bottom:.1}\" stroke=\"{INK}\" \
             stroke-dasharray=\"4 4\"/>\n<text class=\"ink\" x=\"{:.1}\" y=\"{:.1}\" fill=\"{INK}\">{}</text>\n",
            x + 4.0,
            TOP - 4.0,
            escaped(&self.book.say(&TODAY_MARK, [])),
        ));
    }

    /// Marks of what was done, filled, and of what is planned, hollow; each says what it is.
    fn happenings(&mut self, forecast: &Forecast, bottom: f64) {
        for happening in &forecast.happenings {
            let (x, y) = (self.x(happening.day as f64), bottom - 8.0);
            let (class, fill) = if happening.planned {
                ("deed", "none")
            } else {
                ("deed done", FAINT)
            };
            let shape = match happening.kind.as_str() {
                "changed-water" | "drained" => format!("M{:.1} {:.1}h7l-3.5 6z", x - 3.5, y - 3.0),
                "dosed" => format!("M{:.1} {:.1}h7l-3.5 -6z", x - 3.5, y + 3.0),
                _ => format!("M{:.1} {:.1}h6v6h-6z", x - 3.0, y - 3.0),
            };
            let date = &happening.date;
            let kind = happening.kind.replace('-', " ");
            self.add(&format!(
                "<path class=\"{class}\" d=\"{shape}\" fill=\"{fill}\" stroke=\"{FAINT}\"><title>{}</title></path>\n",
                escaped(&format!("{date}: {kind}")),
            ));
        }
    }

    fn dates(&mut self, forecast: &Forecast, y: f64) {
        let weeks = (0..forecast.days.len()).step_by(DAYS_A_WEEK * 2);
        for day in weeks {
            let anchor = if day == 0 { "start" } else { "middle" };
            let (x, date) = (self.x(day as f64), &forecast.days[day]);
            if x < RIGHT - 30.0 {
                self.add(&format!(
                    "<text class=\"faint\" x=\"{x:.1}\" y=\"{:.1}\" fill=\"{FAINT}\" text-anchor=\"{anchor}\">{}</text>\n",
                    y + 10.0,
                    date.get(5..).unwrap_or_default(),
                ));
            }
        }
        let lines = [self.book.say(&TINTS, []), self.book.say(&MARKS, [])];
        for (line, y) in lines.into_iter().zip([y + 30.0, y + 47.0]) {
            self.words(LEFT, y, "faint", FAINT, &line);
        }
    }
}

/// The span of a panel's scale.
fn span(curve: &Curve) -> (f64, f64) {
    let tops = curve.bands.iter().map(|band| band[4]);
    let high = tops
        .chain(curve.readings.iter().map(|reading| reading.high))
        .fold(0.0_f64, f64::max);
    let lows = curve.bands.iter().map(|band| band[0]);
    let low = lows
        .chain(curve.readings.iter().map(|reading| reading.low))
        .fold(f64::INFINITY, f64::min);
    // A scale that would not reach down that far need not begin at nothing.
    let low = if low > 0.4 * high {
        libm::floor(low)
    } else {
        0.0
    };
    (low, nice(high).max(low + 1e-6))
}

/// The next number of one figure, or of one and a half.
fn nice(value: f64) -> f64 {
    if value <= 0.0 {
        return 1.0;
    }
    let magnitude = libm::exp10(libm::floor(libm::log10(value)));
    let steps = [1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0];
    let fits = |step: &&f64| **step * magnitude >= value * 0.999_999;
    steps.iter().find(fits).unwrap_or(&10.0) * magnitude
}

fn figure(value: f64) -> String {
    crate::engine::figure(value)
}

/// The figures of the picture, week by week.
fn described(book: &Book, forecast: &Forecast) -> String {
    let mut text = forecast.say.clone();
    for day in (0..forecast.days.len()).step_by(DAYS_A_WEEK) {
        let _ = write!(text, " {}:", forecast.days[day]);
        for (index, curve) in forecast.curves.iter().enumerate() {
            let [low, _, middle, _, high] = curve.bands[day];
            let comma = if index == 0 { "" } else { "," };
            let [low, middle, high] = [low, middle, high].map(|end| book.figures(figure(end)));
            let band = book.say(&BAND, [&curve.label, &low, &high, &middle, &curve.unit]);
            let _ = write!(text, "{comma} {band}");
        }
        match &forecast.done {
            Some(done) => {
                let share = libm::round(done.chance[day] * 100.0);
                let told = [&book.in_sentence(&done.label), &share.to_string()];
                let told = book.say(&BY_THEN, told.map(String::as_str));
                let _ = write!(text, ", {told}.");
            }
            None => text.push('.'),
        }
    }
    text
}

/// Text as it may stand in SVG; what XML does not allow is left out.
fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\t' | '\n' | '\r' => safe.push(' '),
            '\u{0}'..='\u{1f}' | '\u{fffe}' | '\u{ffff}' => {}
            other => safe.push(other),
        }
    }
    safe
}
