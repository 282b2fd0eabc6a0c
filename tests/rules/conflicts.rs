//! Conflicts that every keeper meets: what is at odds, which side wins, and that the other is told why it lost.
//!
//! People come first, then animals in the water, then the gates, the rhythm of a start, plants, and looks. Within a level
//! the more cautious side wins for the living thing that is most exposed.

use lentic::engine::{Answer, Evaluation, GateVerdict, Verdict};

use crate::support::book;
use crate::told::known;

/// How a conflict ends.
enum Ends {
    /// This rule stands.
    Stands(&'static str),
    /// This rule stands before all others.
    First(&'static str),
    /// This rule stands, and its sentences hold these words.
    Says(&'static str, &'static str),
    /// The first rule stands, and sets the second aside for a reason that holds these words.
    Beats(&'static str, &'static str, &'static str),
    /// The gate says so, and gives a reason that holds these words.
    Shut(&'static str, GateVerdict, &'static str),
    /// The gate is open.
    Open(&'static str),
    /// This rule does not hold, or nothing advises this action.
    Silent(&'static str),
}

use Ends::{Beats, First, Open, Says, Shut, Silent, Stands};
use GateVerdict::{No, NotYet};

/// The conflict, what is known, and how it ends. A conflict with two sides stands here once for each.
const ROWS: &[(&str, &str, &[Ends])] = &[
    (
        "01 a dark start rests, a planted one has its water changed: without plants",
        "start dark, bed releasing, filled 10 days ago",
        &[Stands("dark-start-rests"), Silent("change-water")],
    ),
    (
        "01 a dark start rests, a planted one has its water changed: once plants are in",
        "start planted, bed releasing, filled 3 days ago, planted 3 days ago, changed 2 days ago, plant-class sensitive",
        &[Stands("change-due-early"), Silent("leave-water")],
    ),
    (
        "02 the pH ought to rise, and ammonia is in with animals",
        "start fed, bed inert, filled 300 days ago, planted 290 days ago, fish 6, co2-on no, total-ammonia 2 mg/L N, ph 6.4, \
         temperature 25 °C, kh 0.5 °dH, tap-ph 8",
        &[
            Shut(
                "raise-ph",
                NotYet,
                "a higher pH turns harmless ammonium into ammonia",
            ),
            Beats(
                "old-tank-holds-ammonia",
                "ammonia-calls-for-a-change",
                "a large change would turn more ammonium into ammonia",
            ),
            Beats(
                "old-tank-holds-ammonia",
                "old-tank-turned-sour",
                "ammonia is in this water",
            ),
        ],
    ),
    (
        "03 a low pH shields from ammonia and stalls the bacteria: with animals",
        "start fed, bed inert, filled 30 days ago, planted 20 days ago, fish 6, total-ammonia 2 mg/L N, ph 5.8, temperature 25 °C",
        &[
            Shut(
                "raise-ph",
                NotYet,
                "a higher pH turns harmless ammonium into ammonia",
            ),
            Silent("sour-water-on-inert-bed"),
        ],
    ),
    (
        "03 a low pH shields from ammonia and stalls the bacteria: a line of danger stands at any pH",
        "start fed, bed inert, filled 30 days ago, planted 20 days ago, fish 6, total-ammonia 8 mg/L N, ph 6, temperature 25 °C",
        &[Stands("total-ammonia-too-high")],
    ),
    (
        "03 a low pH shields from ammonia and stalls the bacteria: without animals",
        "start fed, bed inert, filled 20 days ago, total-ammonia 2 mg/L N, ph 5.8",
        &[Stands("sour-water-on-inert-bed"), Open("raise-ph")],
    ),
    (
        "04 a large change against poison, and the shock of cold water",
        "planted 60 days ago, fish 6, total-ammonia 4 mg/L N, ph 7.6, temperature 25 °C, tap-temperature 15 °C, tap-ph 7.6, \
         changed 8 days ago",
        &[
            Stands("free-ammonia-burns"),
            Says("new-water-far-too-cold", "a fifth to a quarter at a time"),
            Beats("new-water-far-too-cold", "change-due", "warm enough"),
        ],
    ),
    (
        "05 a change is needed, and the new water brings ammonia",
        "planted 60 days ago, fish 6, disinfectant chloramine, total-ammonia 0.3 mg/L N, tap-ammonia 0.4 mg/L N, ph 7, temperature 25 °C",
        &[
            Beats(
                "tap-holds-more-ammonia",
                "ammonia-calls-for-a-change",
                "would bring more ammonia",
            ),
            Says("chloramine-in-the-tap", "0.2 mg/L of ammonia"),
        ],
    ),
    (
        "06 animals are wanted against algae, and ammonia still shows",
        "start planted, bed releasing, filled 25 days ago, planted 25 days ago, total-ammonia 0.5 mg/L N, nitrite 0 mg/L N, \
         signs brown-dust",
        &[
            Stands("brown-dust-on-glass"),
            Stands("nitrogen-keeps-animals-out"),
            Shut("add-crew", NotYet, "ammonia burns gills"),
            Silent("add-crew"),
        ],
    ),
    (
        "07 the date says done, the tests say no",
        "start dark, bed releasing, filled 28 days ago, total-ammonia 0 mg/L N, nitrite 0.5 mg/L N",
        &[
            Stands("dark-start-unfinished"),
            Shut("plant", NotYet, "only tests show"),
            Silent("declare-cycled"),
        ],
    ),
    (
        "08 the tests say done, the date says no: a dark start",
        "start dark, bed releasing, filled 15 days ago, plants-on-hand tolerant, ZEROS nitrate 60 mg/L NO3 1 day ago then 60 mg/L NO3, \
         tap-nitrate 5 mg/L NO3, fertilised no, days-unchanged 15 days",
        &[
            Stands("early-zeros"),
            Shut("plant", NotYet, "three weeks at least"),
            Silent("plant"),
        ],
    ),
    (
        "08 the tests say done, the date says no: a fishless start on an inert bed",
        "start fed, bed inert, filled 15 days ago, plants-on-hand tolerant, cycle-done yes, total-ammonia 0 mg/L N, nitrite 0 mg/L N",
        &[Stands("fed-start-done"), Open("plant")],
    ),
    (
        "09 nitrate is the proof, and plants take it up",
        "start planted, bed releasing, filled 30 days ago, planted 30 days ago, nitrate 0 mg/L NO3, temperature 24 °C, water-treated yes, \
         co2-on no, total-ammonia 0 mg/L N 6 days ago then 0 mg/L N 1 day ago then 0 mg/L N, \
         nitrite 0 mg/L N 6 days ago then 0 mg/L N 1 day ago then 0 mg/L N",
        &[Open("add-crew")],
    ),
    (
        "10 less light against algae, and plants that starve",
        "planted 30 days ago, plant-class sensitive, light-hours 8 h, signs stretched-stems and green-threads and green-dust",
        &[
            Beats(
                "lower-leaves-starve",
                "green-threads-among-plants",
                "take hours, not strength",
            ),
            Beats(
                "lower-leaves-starve",
                "green-dust-on-glass",
                "take hours, not strength",
            ),
        ],
    ),
    (
        "10 less light against algae, and plants that starve: no dark days for young plants from a cup",
        "planted 20 days ago, plant-class very-sensitive, signs green-water, total-ammonia 0 mg/L N",
        &[
            Beats(
                "green-water-and-young-plants",
                "water-turned-green",
                "would cost these plants",
            ),
            Shut("darken", NotYet, "starve in the dark"),
            Silent("darken"),
        ],
    ),
    (
        "11 plants want more CO2, animals less",
        "planted 60 days ago, fish 6, co2-on yes, co2-estimate 45 mg/L CO2",
        &[
            Stands("co2-far-too-high"),
            Shut("co2-start", NotYet, "animals unload their own CO2 badly"),
        ],
    ),
    (
        "11 plants want more CO2, animals less: light comes down instead",
        "planted 60 days ago, plant-class sensitive, fish 6, co2-on no, light-strength high, signs stretched-stems",
        &[Beats(
            "strong-light-without-co2",
            "lower-leaves-starve",
            "what is short is CO2",
        )],
    ),
    (
        "12 ripples bring oxygen and lose CO2: by day",
        "planted 60 days ago, fish 6, oxygen 5.5 mg/L O2",
        &[Says("oxygen-could-be-better", "ripple gently by day")],
    ),
    (
        "12 ripples bring oxygen and lose CO2: in an emergency",
        "planted 60 days ago, fish 6, co2-on yes, oxygen 3 mg/L O2",
        &[Says("oxygen-too-low", "splashes")],
    ),
    (
        "13 salt against nitrite, and plants that bear none: in danger",
        "planted 60 days ago, fish 6, nitrite 1 mg/L N, chloride 5 mg/L Cl",
        &[Stands("nitrite-takes-breath"), Open("add-salt")],
    ),
    (
        "13 salt against nitrite, and plants that bear none: as a habit",
        "planted 60 days ago, fish 6, nitrite 0 mg/L N, additives salt",
        &[
            Stands("salt-without-need"),
            Shut("add-salt", NotYet, "only helps against nitrite"),
        ],
    ),
    (
        "14 a dose of ammonia proves the bacteria and harms what lives: animals",
        "start fed, bed inert, filled 30 days ago, total-ammonia 0 mg/L N, nitrite 0 mg/L N, snails 3",
        &[
            Shut("dose-ammonia", No, "poison for gills"),
            Stands("no-ammonia-with-animals"),
            Silent("dose-ammonia"),
        ],
    ),
    (
        "14 a dose of ammonia proves the bacteria and harms what lives: sensitive plants",
        "start fed, bed inert, filled 30 days ago, total-ammonia 0 mg/L N, nitrite 0 mg/L N, plant-class very-sensitive",
        &[
            Shut("dose-ammonia", NotYet, "a dose harms sensitive plants"),
            Silent("dose-ammonia"),
        ],
    ),
    (
        "15 a weak filter wants cleaning, and its film is needed: ammonia shows",
        "planted 90 days ago, fish 6, signs weak-flow, total-ammonia 0.3 mg/L N, nitrite 0 mg/L N",
        &[
            Stands("flow-is-weak-in-bad-water"),
            Shut("clean-filter", NotYet, "takes ammonia away"),
            Silent("clean-filter"),
        ],
    ),
    (
        "15 a weak filter wants cleaning, and its film is needed: the water is clean",
        "planted 90 days ago, fish 6, signs weak-flow, total-ammonia 0 mg/L N, nitrite 0 mg/L N, additives none, ph 7, temperature 25 °C",
        &[
            Says("flow-is-weak", "half of the media"),
            Open("clean-filter"),
        ],
    ),
    (
        "16 changes were missed, and catching up shakes the tank",
        "start planted, bed releasing, filled 6 days ago, planted 6 days ago, changed 5 days ago, plant-class tolerant, \
         total-ammonia 0.2 mg/L N",
        &[
            Says("changes-missed", "Do not change nearly all of it"),
            Beats("changes-missed", "change-due-early", "one change makes up"),
        ],
    ),
    (
        "16 changes were missed, and catching up shakes the tank: ammonia says how much",
        "start planted, bed releasing, filled 6 days ago, planted 6 days ago, changed 5 days ago, plant-class sensitive, \
         total-ammonia 3 mg/L N",
        &[Beats(
            "ammonia-costs-plants",
            "changes-missed",
            "ammonia says how much",
        )],
    ),
    (
        "17 new plants want two weeks in a tub, and the tank gets ready",
        "start dark, bed releasing, filled 3 days ago, plants-on-hand sensitive, plants-pesticide-free no",
        &[Says(
            "tub-fits-into-the-dark",
            "done when the dark start is",
        )],
    ),
    (
        "18 the hot tap matches the warmth, and may bring copper",
        "planted 60 days ago, shrimp 10, about-to-do hot-tap",
        &[
            Says("hot-tap-water-and-shrimp", "kettle"),
            Silent("hot-tap-water"),
        ],
    ),
    (
        "19 too much dechlorinator takes oxygen, too little leaves chlorine",
        "planted 60 days ago, fish 6, signs untreated-water",
        &[
            Says(
                "untreated-water-went-in",
                "Two to three times the dose is safer than none",
            ),
            Says("untreated-water-went-in", "aerate"),
        ],
    ),
    (
        "20 warmth speeds bacteria, and plants and animals like it cooler: an empty tank",
        "start fed, bed inert, filled 10 days ago, temperature 17 °C",
        &[Says(
            "cold-water-slows",
            "Then go to what your plants and animals need",
        )],
    ),
    (
        "20 warmth speeds bacteria, and plants and animals like it cooler: animals are in",
        "start fed, bed inert, filled 10 days ago, temperature 17 °C, fish 2",
        &[Silent("cold-water-slows")],
    ),
    (
        "21 a person can be hurt, and fish gasp",
        "planted 60 days ago, fish 6, signs wet-socket and gasping and leak, changed 9 days ago",
        &[
            First("water-at-a-socket"),
            Beats("water-at-a-socket", "change-due", "until the power is off"),
            Stands("animals-gasp"),
        ],
    ),
    (
        "22 a binder was used, and the test reads ammonia: no animals",
        "planted 60 days ago, ammonia-test-amber yes, ammonia-binder yes, total-ammonia 1 mg/L N",
        &[
            Stands("amber-test-and-binder"),
            Stands("nitrogen-keeps-animals-out"),
        ],
    ),
    (
        "22 a binder was used, and the test reads ammonia: animals",
        "planted 60 days ago, fish 6, ammonia-test-amber yes, ammonia-binder yes, total-ammonia 1 mg/L N",
        &[
            Says("amber-test-over-animals", "counts as real"),
            Beats(
                "amber-test-over-animals",
                "amber-test-and-binder",
                "cannot wait",
            ),
        ],
    ),
    (
        "23 the bacteria want carbonate, and the bed and its shrimp want none",
        "start dark, bed releasing, filled 20 days ago, ph 5.8, kh 0 °dH",
        &[
            Stands("sour-water-on-rich-bed"),
            Shut("raise-ph", NotYet, "a bed that sours the water"),
            Silent("sour-water-on-inert-bed"),
        ],
    ),
    (
        "24 nitrite without animals: planted, the rhythm goes on",
        "start planted, bed releasing, filled 10 days ago, planted 10 days ago, changed 2 days ago, nitrite 3 mg/L N, \
         plant-class sensitive",
        &[Stands("change-due-early")],
    ),
    (
        "24 nitrite without animals: dark, it rests",
        "start dark, bed releasing, filled 18 days ago, nitrite 3 mg/L N, total-ammonia 1 mg/L N",
        &[Stands("dark-start-rests"), Silent("change-water")],
    ),
    (
        "24 nitrite without animals: dark, far too much of it may hold the bacteria back",
        "start dark, bed releasing, filled 30 days ago, nitrite 8 mg/L N, total-ammonia 1 mg/L N, cycle-stuck yes",
        &[Beats(
            "dark-start-overloaded",
            "dark-start-rests",
            "may hold the bacteria back",
        )],
    ),
    (
        "25 two lists of law, or no country known",
        "about-to-do buy-living",
        &[Says("check-your-own-lists", "follow the strictest")],
    ),
    (
        "26 nitrate is the proof, and the tap brings some",
        "start fed, bed inert, filled 20 days ago, ZEROS nitrate 25 mg/L NO3, tap-nitrate 25 mg/L NO3",
        &[
            Stands("nitrate-only-from-the-tap"),
            Shut("plant", NotYet, "only tests show"),
            Silent("declare-cycled"),
        ],
    ),
    (
        "26 nitrate is the proof, and fertiliser brings some",
        "start planted, bed releasing, filled 25 days ago, planted 25 days ago, cycle-done yes, fertilised yes",
        &[Beats(
            "nitrate-may-be-fertiliser",
            "cycle-complete",
            "fertiliser may have brought the nitrate",
        )],
    ),
    (
        "27 the reading says danger, the animals are calm",
        "planted 60 days ago, fish 6, signs none, total-ammonia 2 mg/L N, ph 8, temperature 26 °C",
        &[
            First("free-ammonia-burns"),
            Says("free-ammonia-burns", "Feed nothing and aerate"),
        ],
    ),
    (
        "27 the reading says danger, the animals are calm: the test may read too high",
        "planted 60 days ago, fish 6, signs none, total-ammonia 2 mg/L N, ph 8, temperature 26 °C, ammonia-test-amber yes, \
         ammonia-binder yes",
        &[
            Stands("free-ammonia-burns"),
            Says("amber-test-over-animals", "Repeat within the hour"),
        ],
    ),
    (
        "28 the reading says fine, the animals gasp",
        "planted 60 days ago, fish 6, co2-on no, signs gasping, total-ammonia 0 mg/L N, nitrite 0 mg/L N, ph 7, temperature 25 °C",
        &[
            Stands("animals-gasp"),
            Says(
                "gasping-over-good-figures",
                "CO2, oxygen, nitrite, chlorine",
            ),
        ],
    ),
    (
        "28 the reading says fine, the animals gasp while CO2 flows",
        "planted 60 days ago, fish 6, co2-on yes, signs gasping, total-ammonia 0 mg/L N, nitrite 0 mg/L N, co2-estimate 15 mg/L CO2",
        &[
            Stands("co2-with-signs"),
            Beats("co2-with-signs", "animals-gasp", "CO2 is in use"),
        ],
    ),
    (
        "29 a dark start rests, and a leak needs draining",
        "start dark, bed releasing, filled 10 days ago, signs leak",
        &[
            Beats(
                "water-outside-the-tank",
                "dark-start-rests",
                "a repair that needs draining wins",
            ),
            Stands("repair-does-not-restart-the-count"),
        ],
    ),
    (
        "30 a plant from a cup in a planted start: the rhythm is kept",
        "start planted, bed releasing, filled 3 days ago, planted 3 days ago, changed 2 days ago, plant-class very-sensitive",
        &[
            Says("very-sensitive-at-first", "keep ammonia below"),
            Stands("change-due-early"),
        ],
    ),
    (
        "30 a plant from a cup in a planted start: ammonia is too high for it",
        "start planted, bed releasing, filled 10 days ago, plants-on-hand very-sensitive, total-ammonia 1.5 mg/L N, \
         daily-changes-possible yes",
        &[
            Stands("plants-must-wait"),
            Shut("plant", NotYet, "must bear the ammonia"),
            Silent("plant"),
        ],
    ),
    (
        "30 a plant from a cup in a planted start: nobody can change the water",
        "filled no, start planted, bed releasing, plants-on-hand very-sensitive, daily-changes-possible no",
        &[
            Shut("plant", No, "planted"),
            Stands("planted-start-without-time"),
        ],
    ),
    (
        "31 shrimp are wanted early, and bear least",
        "planted 60 days ago, shrimp 10, nitrite 0.4 mg/L N",
        &[
            Stands("nitrite-and-shrimp"),
            Silent("nitrite-takes-breath"),
            Shut("add-crew", NotYet, "nitrite takes the blood's oxygen"),
        ],
    ),
    (
        "31 shrimp are wanted early, and bear least: fish at the same reading",
        "planted 60 days ago, fish 6, nitrite 0.4 mg/L N",
        &[
            Silent("nitrite-and-shrimp"),
            Stands("nitrite-calls-for-a-change"),
        ],
    ),
    (
        "32 nitrate is high, and the bacteria have just come",
        "start fed, bed inert, filled 30 days ago, cycle-done yes, nitrate 80 mg/L NO3, total-ammonia 0 mg/L N, nitrite 0 mg/L N",
        &[Beats(
            "nitrate-at-the-end",
            "fed-start-rests",
            "nitrate is all that is left",
        )],
    ),
    (
        "33 air at night for animals, CO2 for plants",
        "planted 60 days ago, fish 6, co2-on yes, co2-at-night yes, co2-estimate 15 mg/L CO2, oxygen 5.5 mg/L O2",
        &[
            Says("co2-flows-at-night", "off an hour before dark"),
            Says(
                "oxygen-could-be-better",
                "an air stone at night, when CO2 is off",
            ),
        ],
    ),
    (
        "34 a conditioner makes tests show ammonia, and there may be some",
        "planted 60 days ago, fish 6, disinfectant chloramine, ammonia-test-amber yes, ammonia-binder yes, total-ammonia 1 mg/L N, \
         ph 8, temperature 26 °C",
        &[
            Stands("free-ammonia-burns"),
            Says("amber-test-over-animals", "for two days at least"),
            Says("amber-test-over-animals", "a test that turns green"),
        ],
    ),
    (
        "35 a species is forbidden, and it is in the tank",
        "planted 60 days ago, listed-species yes, about-to-do part-with",
        &[Beats(
            "listed-species-stays-put",
            "nothing-living-goes-outdoors",
            "not even giving it away",
        )],
    ),
];

#[test]
fn each_conflict_ends_as_it_should() {
    let mut wrong = Vec::new();
    for (conflict, text, ends) in ROWS {
        let facts = known(text);
        let run = book().evaluate(&facts);
        let answer = run.answer();
        assert!(
            answer.clashes.is_empty(),
            "{conflict}: {:?}",
            answer.clashes
        );
        for end in *ends {
            if let Err(found) = came_out(end, &run, &answer) {
                wrong.push(format!("{conflict}: {found}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn none_of_the_conflicts_is_left_out() {
    let mut numbers: Vec<usize> = ROWS
        .iter()
        .map(|(conflict, ..)| conflict[..2].parse().expect("a number"))
        .collect();
    numbers.dedup();
    assert_eq!(numbers, (1..=35).collect::<Vec<_>>());
}

fn came_out(end: &Ends, run: &Evaluation<'_>, answer: &Answer) -> Result<(), String> {
    let point = |rule: &str| {
        answer
            .advice
            .iter()
            .find(|point| point.rule == rule && point.certain)
    };
    let standing = |rule: &str| {
        point(rule).ok_or_else(|| {
            let beaten = answer
                .set_aside
                .iter()
                .find(|aside| aside.advice.rule == rule);
            let beaten = beaten.map(|aside| &aside.beaten_by);
            format!(
                "{rule} does not stand, it is {:?}, beaten by {beaten:?}",
                run.rule(rule)
            )
        })
    };
    let right = |is_right: bool, message: String| is_right.then_some(()).ok_or(message);
    match *end {
        Stands(rule) => standing(rule).map(|_| ()),
        First(rule) => right(
            answer
                .advice
                .first()
                .is_some_and(|point| point.rule == rule),
            format!("{rule} does not come first"),
        ),
        Says(rule, words) => {
            let point = standing(rule)?;
            let said = format!("{} {} {}", point.finding, point.say, point.because);
            right(said.contains(words), format!("`{words}` is not in: {said}"))
        }
        Beats(winner, loser, words) => {
            standing(winner)?;
            let aside = answer
                .set_aside
                .iter()
                .find(|aside| aside.advice.rule == loser);
            let aside = aside
                .ok_or_else(|| format!("{loser} is not set aside, it is {:?}", run.rule(loser)))?;
            let told = aside
                .beaten_by
                .iter()
                .any(|by| by.rule == winner && by.because.contains(words));
            right(told, format!("{loser} is beaten by {:?}", aside.beaten_by))
        }
        Shut(gate, verdict, words) => {
            let gates = run.gates();
            let found = gates
                .iter()
                .find(|found| found.gate == gate)
                .expect("a gate");
            right(
                found.verdict == verdict,
                format!("{gate} is {:?}", found.verdict),
            )?;
            let mut unmet = found.needs.iter().filter(|need| need.met == Verdict::Fails);
            right(
                unmet.any(|need| need.because.contains(words)),
                format!("{gate} gives no reason with `{words}`"),
            )
        }
        Open(gate) => {
            let found = run.gate_verdict(gate);
            let gates = run.gates();
            let needs = gates
                .iter()
                .find(|found| found.gate == gate)
                .expect("a gate");
            let unmet = needs.needs.iter().filter(|need| need.met != Verdict::Holds);
            let unmet: Vec<&str> = unmet.map(|need| need.because.as_str()).collect();
            right(
                found == Some(GateVerdict::Yes),
                format!("{gate} is {found:?}: {unmet:?}"),
            )
        }
        Silent(name) => {
            let mut advice = answer.advice.iter();
            right(
                !advice.any(|point| point.rule == name || point.action == name),
                format!("{name} is advised"),
            )
        }
    }
}
