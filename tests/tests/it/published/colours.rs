//! Colours of cable: letters, and the jobs that BS AU 7 gives them.

use std::collections::BTreeSet;

use loomwright_circuit::{Colour, ColourCode, WireColour};
use loomwright_rules::{Job, jobs_of_colour};

use super::table::{Row, rows};

fn colour(row: &Row) -> WireColour {
    let one = |column| Colour::from_word(row.text(column));
    let main = one("main_colour").unwrap_or_else(|| panic!("{}", row.says()));
    match row.text("tracer_colour") {
        "" => WireColour::plain(main),
        _ => WireColour::traced(main, one("tracer_colour").expect("a colour")),
    }
}

#[test]
fn british_letters_are_those_of_bs_au_7() {
    let letters = rows("wire_colours_bsau7", "row_kind", "letter");
    assert_eq!(letters.len(), Colour::ALL.len());
    for row in letters {
        assert_eq!(colour(&row).main.british_letter(), row.text("code"), "{}", row.says());
    }
}

#[test]
fn british_codes_read_as_the_colours_they_stand_for() {
    for row in rows("wire_colours_bsau7", "row_kind", "function") {
        let code = row.text("code");
        assert_eq!(WireColour::read(code), Ok(colour(&row)), "{}", row.says());
        assert_eq!(colour(&row).letters(ColourCode::BsAu7), code, "{}", row.says());
    }
}

#[test]
fn german_letters_are_those_of_din_47002() {
    let mut n_rows = 0;
    for row in rows("wire_colours_din", "row_kind", "letter_german") {
        // Turquoise is no colour of vehicle cable in Britain; the program has none.
        let Some(colour) = Colour::from_word(row.text("english")) else {
            assert_eq!(row.text("english"), "turquoise", "{}", row.says());
            continue;
        };
        assert_eq!(colour.german_letters(), row.text("code_german"), "{}", row.says());
        n_rows += 1;
    }
    assert_eq!(n_rows, Colour::ALL.len() - 1, "all but light green");
}

/// Words of which one must stand in the published function of a colour that has the job.
fn words(job: Job) -> &'static [&'static str] {
    match job {
        Job::Earth => &["earth"],
        Job::Live => &["battery feed", "live at all times"],
        Job::LiveFused => &["battery, fused", "battery through a fuse"],
        Job::KeyLive => &["ignition-controlled, not fused"],
        Job::KeyLiveFused => &["fused through the ignition switch", "ignition switch, fused"],
        Job::Ignition => &["to coil", "coil +"],
        Job::StarterTrigger => &["starter solenoid"],
        Job::FlasherOut => {
            &["flasher unit to indicator switch", "flasher unit L to indicator switch"]
        }
        Job::LeftIndicators => &["left-hand flasher lamps"],
        Job::RightIndicators => &["right-hand flasher lamps"],
        Job::StopLamps => &["to stop lamps"],
        Job::Headlamps => &["to dip switch", "headlamp circuit"],
        Job::MainBeam => &["main-beam", "main beams", "headlamp circuit"],
        Job::DipBeam => &["dip beam", "dip-beam", "headlamp circuit"],
        Job::DrivingLamps => &["driving lamp switch to lamp"],
        Job::SideLamps => &["side lamps", "side and rear lamp"],
        Job::PanelLamps => &["panel", "side-lamp switch"],
        Job::FogLamps => &["fog lamp"],
        Job::ReversingLamps => &["to reversing lamps"],
    }
}

/// Every colour with a settled job, and its jobs.
fn settled() -> Vec<(WireColour, &'static [Job])> {
    let mut all = Vec::new();
    for main in Colour::ALL {
        let traced = Colour::ALL.into_iter().filter(|tracer| *tracer != main);
        let colours = traced.map(|tracer| WireColour::traced(main, tracer));
        all.extend(std::iter::once(WireColour::plain(main)).chain(colours));
    }
    let jobs = |colour: WireColour| (colour, jobs_of_colour(colour));
    all.into_iter().map(jobs).filter(|(_, jobs)| !jobs.is_empty()).collect()
}

#[test]
fn every_settled_job_of_a_colour_is_published_some_memory() {
    let published = rows("wire_colours_bsau7", "row_kind", "function");
    assert!(settled().len() >= 20);
    for (wire, jobs) in settled() {
        let rows: Vec<&Row> = published.iter().filter(|row| colour(row) == wire).collect();
        for job in jobs {
            let is_said =
                |row: &&&Row| words(*job).iter().any(|word| row.text("function").contains(word));
            let said = rows.iter().find(is_said);
            let functions: Vec<String> = rows
                .iter()
                .map(|row| format!("{}: {}", row.text("function"), row.says()))
                .collect();
            assert!(said.is_some(), "{} as {job:?}: {functions:#?}", wire.words());
        }
    }
}

#[test]
fn every_job_has_a_colour_in_both_editions() {
    let jobs: BTreeSet<Job> = settled().iter().flat_map(|(_, jobs)| jobs.iter().copied()).collect();
    for job in jobs {
        for edition in [ColourCode::BsAu7, ColourCode::BsAu7a] {
            let wire = job.colour(edition).unwrap_or_else(|| panic!("{job:?} in {edition:?}"));
            assert!(jobs_of_colour(wire).contains(&job), "{job:?} in {edition:?}");
        }
        assert_eq!(job.colour(ColourCode::Din), None);
    }
}
