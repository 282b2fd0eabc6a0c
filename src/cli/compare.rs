//! `lentic compare`: the ways to start, side by side.

use lentic::advice::{self, Comparison, Prices, Span};

use super::Outcome;
use super::arguments::{Arguments, listed, pair};
use super::forecast::assumed;
use super::page::{Page, json};
use super::tongue::{number, said, told as filled};

pub(crate) fn run(arguments: &Arguments) -> Result<Outcome, String> {
    let book = arguments.book()?;
    let journal = arguments.journal()?;
    let typed: Result<Vec<_>, String> =
        arguments.words[1..].iter().map(|word| pair(word)).collect();
    let prices = Prices::read(&typed?).map_err(|mistakes| {
        let lines: Vec<String> = mistakes.iter().map(ToString::to_string).collect();
        lines.join("\n")
    })?;
    let compared = advice::compare(&book, &journal, arguments.day()?, &prices)
        .map_err(|mistakes| listed(&arguments.words[0], &mistakes))?;
    if arguments.json {
        return json(&compared);
    }
    shown(&compared);
    Ok(Outcome::Fine)
}

fn shown(compared: &Comparison) {
    let mut page = Page::new();
    let tank = if compared.tank.is_empty() {
        said("This tank")
    } else {
        &compared.tank
    };
    page.heading(&filled!(
        "{}: ways to start, filled on {}",
        tank,
        compared.date
    ));
    page.gap();
    page.paragraph("", &compared.say);
    page.paragraph(
        "",
        &filled!(
            "Each figure: the middle, and in brackets nine tenths of tanks like this one. + means beyond {} days.",
            compared.days
        ),
    );
    page.gap();
    for start in &compared.starts {
        page.strong("", &start.label);
        if let Some(bed) = &start.on_another_bed {
            page.paragraph("  ", &filled!("Followed on another bed: {}.", bed));
        }
        let mut line = |label: &str, span: &Span, unit: &str| {
            page.line(&format!("  {label:<40}{}", told(span, unit)));
        };
        line(said("Water"), &start.litres, " L");
        line(said("Water changes"), &start.changes, "");
        if let Some(hours) = &start.hours {
            line(said("Hours for them"), hours, " h");
        }
        line(said("Ammonium chloride"), &start.salt_g, " g");
        line(said("Plants are in on day"), &start.days_to_plants, "");
        line(
            said("Clean-up crew may come on day"),
            &start.days_to_crew,
            "",
        );
        line(said("Fish may come on day"), &start.days_to_fish, "");
        if let Some(cost) = &start.cost {
            line(said("Cost at your prices"), cost, "");
        }
        page.line(said(
            "  Days with more ammonia than plants bear, and the chance of losing some",
        ));
        for plants in &start.plants {
            let days = told(&plants.days_above, "");
            let loss = (plants.loss * 100.0).round();
            page.line(&format!("    {:<38}{days}; {loss} %", plants.label));
        }
        page.gap();
    }
    assumed(&mut page, &compared.assumed);
    page.print();
}

fn told(span: &Span, unit: &str) -> String {
    let Span {
        low, middle, high, ..
    } = span;
    let figure = |value: &Option<f64>| value.map_or_else(|| "+".to_owned(), number);
    if low == high && middle == low {
        return format!("{}{unit}", figure(middle));
    }
    filled!(
        "{}{} ({} to {})",
        figure(middle),
        unit,
        figure(low),
        figure(high)
    )
}
