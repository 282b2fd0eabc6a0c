//! The program `lentic`: the advisor in a terminal.

mod advise;
mod arguments;
mod ask;
mod batch;
mod book;
mod check;
mod compare;
mod evidence;
mod fit;
mod forecast;
mod may;
mod numbers;
mod page;
mod part;
mod plan;
mod reckon;
mod record;
mod sketch;
mod tongue;
mod why;
mod words;

use std::process::ExitCode;

use arguments::{Arguments, Verb};

/// What a run ends with.
enum Outcome {
    /// Advice was given, or all is well.
    Fine,
    /// There is danger, or a check found something.
    Attention,
}

fn main() -> ExitCode {
    let arguments = match arguments::read() {
        Ok(arguments) => arguments,
        Err(message) => return failed(&message),
    };
    match run(&arguments) {
        Ok(Outcome::Fine) => ExitCode::SUCCESS,
        Ok(Outcome::Attention) => ExitCode::from(1),
        Err(message) => failed(&message),
    }
}

fn run(arguments: &Arguments) -> Result<Outcome, String> {
    match &arguments.verb {
        Verb::Help => {
            page::print(arguments::HELP);
            Ok(Outcome::Fine)
        }
        Verb::Version => {
            page::print(concat!("lentic ", env!("CARGO_PKG_VERSION"), "\n"));
            Ok(Outcome::Fine)
        }
        Verb::Advise => advise::run(arguments),
        Verb::Why => why::run(arguments),
        Verb::May => may::run(arguments),
        Verb::Fit => fit::run(arguments),
        Verb::WhyNot => ask::why_not(arguments),
        Verb::Change => ask::change(arguments),
        Verb::WhatIf => ask::what_if(arguments),
        Verb::Next => ask::next(arguments),
        Verb::Record => record::record(arguments),
        Verb::Verify => record::verify(arguments),
        Verb::Check => check::run(arguments),
        Verb::Book => book::run(arguments),
        Verb::Batch => batch::run(arguments),
        Verb::Reckon => reckon::run(arguments),
        Verb::Forecast => forecast::run(arguments),
        Verb::Plan => plan::run(arguments),
        Verb::Compare => compare::run(arguments),
    }
}

fn failed(message: &str) -> ExitCode {
    eprintln!("{message}");
    ExitCode::from(2)
}
