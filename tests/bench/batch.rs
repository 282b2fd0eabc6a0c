//! What `lentic batch` costs beside a bare loop, and what it does with a million lines:
//! `cargo bench --bench batch` and `cargo bench --bench batch -- million [NUMBER]`.

mod made;
mod random;

use std::hint::black_box;
use std::io::{BufRead, BufReader, BufWriter, Read, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::thread;
use std::time::{Duration, Instant};

use lentic::advice;
use lentic::journal::{Date, Journal};
use made::{ON, Stories};
use serde_json::Value;

/// Lines of the comparison.
const LINES: u64 = 3_000;
/// Rounds, of which the best counts, so that other programs on the machine are not measured too.
const ROUNDS: usize = 7;
/// A run over many lines is killed after each of these tenths of them.
const KILLED_AFTER: [u64; 4] = [1, 3, 4, 8];
/// Most memory that such a run may take.
const MEMORY_MIB: f64 = 200.0;

fn main() {
    // Cargo hands over `--bench`.
    let words: Vec<String> = std::env::args()
        .skip(1)
        .filter(|word| !word.starts_with("--"))
        .collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words[..] {
        [] => compare(),
        ["bare", file] => bare(Path::new(file)),
        ["million"] => many(1_000_000),
        ["million", number] => many(number.parse().expect("a number of lines")),
        _ => panic!("no such figures: {words:?}"),
    }
}

fn line(figure: &str, limit: &str, measured: f64) {
    println!("{figure:<66} {limit:>9} {measured:>9.2}");
}

fn compare() {
    let file = file();
    let this = std::env::current_exe().expect("this program");
    let bare = || {
        let mut bare = Command::new(&this);
        bare.arg("bare").arg(&file);
        bare
    };
    let batch = |arguments: &[&str]| {
        let mut batch = batch(arguments);
        batch.stdin(std::fs::File::open(&file).expect("the lines"));
        batch
    };
    let mut best = [f64::INFINITY; 4];
    for _ in 0..ROUNDS {
        for (best, mut command) in best.iter_mut().zip([
            bare(),
            batch(&["--cores", "1"]),
            batch(&["--cores", "2"]),
            batch(&["--cores", "1", "--fields", "stage,advice.rule"]),
        ]) {
            *best = best.min(seconds(&mut command));
        }
    }
    let [bare, one, two, fields] = best;
    println!(
        "{LINES} lines, {:.2} ms each in a bare loop",
        bare * 1e3 / LINES as f64
    );
    println!("{:<66} {:>9} {:>9}", "figure", "limit", "measured");
    line(
        "one core, of a bare loop of parse, advise, print",
        "<= 1.15",
        one / bare,
    );
    line("two cores, times as fast as one", ">= 1.8", one / two);
    line("two fields, of whole answers", "<= 1", fields / one);
    shares();
}

/// The lines that are compared over, all of them good.
fn file() -> PathBuf {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("batch-bench.ndjson");
    let mut out =
        BufWriter::new(std::fs::File::create(&path).expect("the target folder can be written"));
    for text in good() {
        writeln!(out, "{text}").expect("a file takes all");
    }
    path
}

fn good() -> impl Iterator<Item = String> {
    let stories = Stories::read();
    let lines = (1..).map(move |number| stories.line(number));
    let whole = lines.filter(|line| line.broken.is_none());
    whole
        .map(|line| String::from_utf8(line.bytes).expect("a text"))
        .take(LINES as usize)
}

fn batch(arguments: &[&str]) -> Command {
    let mut batch = Command::new(env!("CARGO_BIN_EXE_lentic"));
    batch.args(["batch", "--on", ON]).args(arguments);
    batch
}

fn seconds(command: &mut Command) -> f64 {
    command.stdout(Stdio::null()).stderr(Stdio::null());
    let start = Instant::now();
    let status = command.status().expect("the program starts");
    assert!(status.success());
    start.elapsed().as_secs_f64()
}

/// The yardstick: all lines in memory, then each parsed, advised on and printed.
fn bare(file: &Path) {
    let text = std::fs::read_to_string(file).expect("the lines");
    let book = advice::built_in().expect("the built-in book");
    let on = Date::parse(ON).expect("a day");
    let mut out = BufWriter::new(std::io::stdout().lock());
    for line in text.lines() {
        let journal = Journal::from_json(line).expect("a good journal");
        let advice = advice::advise(&book, &journal, on).expect("readable entries");
        serde_json::to_writer(&mut out, &advice).expect("an answer is data");
        out.write_all(b"\n").expect("standard output takes all");
    }
}

/// Where the time of one line goes.
fn shares() {
    let book = advice::built_in().expect("the built-in book");
    let on = Date::parse(ON).expect("a day");
    let mut spent = [Duration::ZERO; 5];
    let mut text = Vec::new();
    for line in good() {
        let mut at = Instant::now();
        let mut lap = |part: usize| {
            let now = Instant::now();
            spent[part] += now - at;
            at = now;
        };
        let journal = Journal::from_json(&line).expect("a good journal");
        lap(0);
        let facts = advice::facts(&book, &journal, on).expect("readable entries");
        lap(1);
        black_box(book.evaluate(&facts));
        lap(2);
        let advice = advice::advise(&book, &journal, on).expect("readable entries");
        lap(3);
        text.clear();
        serde_json::to_writer(&mut text, &advice).expect("an answer is data");
        lap(4);
    }
    let [parse, facts, evaluation, advise, print] = spent.map(|spent| spent.as_secs_f64());
    let all = parse + advise + print;
    let share = |figure: &str, part: f64| line(figure, "", part / all);
    println!("shares of the time of a line, without reading and handing over");
    share("  the journal parsed", parse);
    share("  facts from it", facts);
    share("  evaluation: every fact, rule and gate", evaluation);
    share(
        "  evidence, formulas and words",
        advise - facts - evaluation,
    );
    share("  printed", print);
    share("outside the evaluation", all - evaluation);
}

/// Answers to made-up lines, taken up again each time that the run is killed.
fn many(lines: u64) {
    let mut seen = Seen::default();
    let start = Instant::now();
    for tenths in KILLED_AFTER {
        run(lines, Some(lines * tenths / 10), &mut seen);
        println!(
            "killed with {} answers, {:.1} MiB at most",
            seen.answers, seen.peak_mib
        );
    }
    run(lines, None, &mut seen);
    assert_eq!(seen.answers, lines, "a line was lost");
    println!(
        "{lines} lines in {:.0} s: {} answered, {} broken in {} ways and each named, none lost",
        start.elapsed().as_secs_f64(),
        seen.answers - seen.broken,
        seen.broken,
        made::ways().min(seen.broken as usize),
    );
    line("most memory of the program, MiB", "<= 200", seen.peak_mib);
    assert!(seen.peak_mib <= MEMORY_MIB);
}

/// What came out so far.
#[derive(Default)]
struct Seen {
    answers: u64,
    broken: u64,
    peak_mib: f64,
}

/// Goes on from the line after the last answer, to the end or until so many are answered.
fn run(lines: u64, killed_after: Option<u64>, seen: &mut Seen) {
    let mut child = batch(&["--from", &(seen.answers + 1).to_string()])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let input = child.stdin.take().expect("a pipe");
    let writer = thread::spawn(move || write(lines, input));
    let stories = Stories::read();
    let mut out = BufReader::with_capacity(1 << 16, child.stdout.take().expect("a pipe"));
    let mut answer = Vec::new();
    let before = seen.answers;
    loop {
        answer.clear();
        out.read_until(b'\n', &mut answer)
            .expect("the program's output");
        // What a killed program did not write to its end is no answer.
        if answer.pop() != Some(b'\n') {
            break;
        }
        seen.answers += 1;
        check(&stories, seen, &answer);
        if seen.answers.is_multiple_of(500) {
            seen.peak_mib = seen.peak_mib.max(peak_mib(&child));
        }
        if killed_after == Some(seen.answers) {
            child.kill().expect("it can be killed");
        }
    }
    let mut told = String::new();
    let mut err = child.stderr.take().expect("a pipe");
    err.read_to_string(&mut told).expect("readable text");
    let status = child.wait().expect("the program ends");
    writer.join().expect("the writer ends");
    assert_eq!(status.success(), killed_after.is_none(), "{told}");
    if killed_after.is_none() {
        let start = format!("{} lines: ", lines - before);
        assert!(told.starts_with(&start), "{told}");
    }
}

/// Until nobody reads any more.
fn write(lines: u64, input: ChildStdin) {
    let stories = Stories::read();
    let mut input = BufWriter::new(input);
    for number in 1..=lines {
        let line = stories.line(number).bytes;
        if input
            .write_all(&line)
            .and_then(|()| input.write_all(b"\n"))
            .is_err()
        {
            return;
        }
    }
    // Whether the last bytes are read shows in the answers.
    let _ = input.flush();
}

/// The answer is the one to this line, and whole.
#[track_caller]
fn check(stories: &Stories, seen: &mut Seen, answer: &[u8]) {
    let number = seen.answers;
    let told = || String::from_utf8_lossy(&answer[..answer.len().min(400)]).into_owned();
    let Some(way) = stories.line(number).broken else {
        let name = made::name(number);
        let start = format!(r#"{{"format":"lentic-advice/1","date":"{ON}","tank":"{name}","#);
        assert!(
            answer.starts_with(start.as_bytes()),
            "line {number}: {}",
            told()
        );
        assert_eq!(answer.last(), Some(&b'}'), "line {number}");
        return;
    };
    seen.broken += 1;
    let whole: Value = serde_json::from_slice(answer).expect("a line of JSON");
    assert_eq!(
        whole["format"],
        "lentic-mistakes/1",
        "line {number}, {way}: {}",
        told()
    );
    assert_eq!(whole["line"], number, "{way}");
    let message = whole["mistakes"][0]["message"].as_str().unwrap_or_default();
    assert!(!message.is_empty(), "line {number}, {way}: {}", told());
}

/// The most memory that a program has held so far, where the system tells.
fn peak_mib(child: &Child) -> f64 {
    let status =
        std::fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap_or_default();
    let kib = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
    let kib = kib.and_then(|text| text.trim().trim_end_matches(" kB").parse::<f64>().ok());
    kib.unwrap_or(0.0) / 1024.0
}
